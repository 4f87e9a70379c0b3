// @ts-check
// The keyboard with what lies on each letter: below without Shift, above with it.
import { el } from "../../shared/dom.js";
import { Book } from "../../desk/book.js";
import { capOfKey } from "../../desk/keytable.js";
import { ROWS } from "./keys.js";

/** @typedef {import("./editor.js").Editor} Editor */

/** @param {Editor} ed @returns {Node[]} */
export function keyboard(ed) {
  const book = new Book(ed.draft.book, ed.view.side);
  /** @type {Map<string, any[]>} */
  const on = new Map();
  for (const code of book.codes.values()) {
    const key = book.keyOf(code);
    if (key) on.set(key, [...(on.get(key) ?? []), code]);
  }
  const desk = new Map(ed.data.desk_keys.map((/** @type {any} */ k) => [k.place, k.does]));
  const side = (/** @type {string} */ value) => {
    const input = el("input", { type: "radio", name: "side", id: `side-${value}`, onchange: () => {
      ed.view.side = value;
      ed.draw();
    } });
    input.checked = ed.view.side === value;
    return el("label", { class: "side", for: `side-${value}` }, input, `dog on the ${value}`);
  };
  return [
    el("fieldset", { class: "sides" }, el("legend", {}, "As it is for a "), side("left"), side("right")),
    el("div", { class: "scroll", role: "region", tabindex: "0", "aria-label": "Keyboard" }, el("div", { class: "board" },
      ...ROWS.map((letters, n) => el("ul", { class: `plain board-row row-${n}`, "aria-label": `Row ${n + 1} of letters` }, ...[...letters].map((letter) => keycap(ed, letter, on, desk)))))),
    el("p", { class: "hint" }, "Above the line with Shift. Keys go by their place, whatever the keyboard's language. Digits are levels and kinds; space, comma, full stop and the arrows move through time; all other signs are the desk's too."),
  ];
}

/** @param {Editor} ed @param {string} letter @param {Map<string, any[]>} on @param {Map<string, string>} desk */
function keycap(ed, letter, on, desk) {
  const place = `Key${letter.toUpperCase()}`;
  const line = (/** @type {string} */ key, /** @type {string} */ at) => {
    const codes = on.get(key) ?? [];
    const does = desk.get(at);
    if (does) return el("span", { class: "cap-code desk-key" }, does);
    if (codes.length === 0) return el("span", { class: "cap-code none" }, el("span", { class: "visually-hidden" }, "free"));
    return el("span", { class: codes.length > 1 ? "cap-code twice" : "cap-code" }, ...codes.flatMap((c, n) => [n > 0 && " + ",
      el("button", { type: "button", class: "link", title: c.name, id: n === 0 ? `cap-${key === letter ? "" : "shift-"}${letter}` : undefined, onclick: () => ed.show(c.id) }, c.name.replace(/\s*\(.*\)$/, "") || c.id)]));
  };
  return el("li", { class: "cap" },
    el("span", { class: "cap-shift" }, el("span", { class: "visually-hidden" }, `Shift ${capOfKey(letter)}: `), line(letter.toUpperCase(), `Shift+${place}`)),
    el("span", { class: "cap-letter", "aria-hidden": "true" }, capOfKey(letter)),
    el("span", { class: "cap-plain" }, el("span", { class: "visually-hidden" }, `${capOfKey(letter)}: `), line(letter, place)));
}
