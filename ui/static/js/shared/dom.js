// @ts-check
// Small functions that build DOM. Text given by a person goes through
// textContent only; there is no way in for markup.

/**
 * A new element. Of `props`, those starting with "on" with a function are
 * listeners, `class` is the class attribute, true gives an empty attribute,
 * false, null and undefined give none, the rest are attributes.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, any>} [props]
 * @param {...(Node | string | null | undefined | false)} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function el(tag, props = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on") && typeof value === "function") node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) if (child || child === "") node.append(child);
  return node;
}

/**
 * Sets the text of a node if it differs, so that screen readers hear changes only.
 * @param {Node} node
 * @param {string} text
 */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/**
 * The value of the page's JSON script element with this id; null if there is none.
 * @param {string} [id]
 */
export function pageData(id = "page-data") {
  const text = document.getElementById(id)?.textContent;
  return text ? JSON.parse(text) : null;
}
