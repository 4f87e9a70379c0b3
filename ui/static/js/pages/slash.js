// @ts-check
// The key / leads to the search field, unless something is being typed. It can be
// switched off in the settings; then this module isn't there.

const field = /** @type {HTMLInputElement | null} */ (document.querySelector("input[data-slash]"));

/** Whether keys go into what has the focus. */
function typing() {
  const e = /** @type {HTMLElement | null} */ (document.activeElement);
  return Boolean(e?.isContentEditable || e?.matches("input:not([type=checkbox], [type=radio], [type=button]), textarea, select"));
}

field?.ownerDocument.addEventListener("keydown", (e) => {
  if (e.key !== "/" || e.ctrlKey || e.altKey || e.metaKey || e.isComposing || e.repeat || e.defaultPrevented) return;
  if (typing() || document.querySelector("dialog[open]")) return;
  e.preventDefault();
  field.focus();
  field.select();
});
