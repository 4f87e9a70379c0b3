// @ts-check
// One stop of the Tab key for many buttons: inside, the arrows go from one to the
// next. The desk's own arrows act again once the focus is elsewhere.

/**
 * @param {HTMLElement} root whose buttons are meant, also those that come later
 * @param {AbortSignal} signal
 * @returns {() => void} to be called when the buttons have changed
 */
export function roving(root, signal) {
  const buttons = () => [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("button, summary"))].filter((b) => b.checkVisibility());
  const stopAt = (/** @type {HTMLElement | undefined} */ at) => {
    for (const b of root.querySelectorAll("button, summary")) b.setAttribute("tabindex", b === at ? "0" : "-1");
  };
  root.setAttribute("role", "toolbar");
  root.addEventListener("focusin", (e) => {
    stopAt(/** @type {HTMLElement} */ (e.target));
  }, { signal });
  root.addEventListener("keydown", (e) => {
    const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (!way || e.shiftKey || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    const all = buttons();
    const at = all.findIndex((b) => b === document.activeElement);
    all[(at + way + all.length) % all.length]?.focus();
  }, { signal });
  return () => stopAt(buttons()[0]);
}
