// @ts-check
// The fields of the editor: each has an id, a label, a place for what is wrong
// with it, and writes what is typed into the draft.
import { el } from "../../shared/dom.js";

/** @typedef {import("./editor.js").Editor} Editor */

/**
 * @typedef {object} FieldProps
 * @property {string} id
 * @property {string} label
 * @property {any} value
 * @property {(book: any, value: any) => void} set
 * @property {string} [hint]
 * @property {string} [what] the step's name; the label if missing
 * @property {string[]} [choices] offered, others may be typed
 * @property {boolean} [wide]
 * @property {boolean} [redraw] the whole page shows it
 * @property {(value: string) => void} [typed]
 */

/**
 * A labelled row with the place for what is wrong with it.
 * @param {string} id
 * @param {string} label
 * @param {string | undefined} hint
 * @param {HTMLElement} input
 * @param {...(Node | string | false | null | undefined)} more
 */
export function row(id, label, hint, input, ...more) {
  input.id = id;
  input.setAttribute("aria-describedby", [hint && `${id}-hint`, `${id}-wrong`].filter(Boolean).join(" "));
  return el("div", { class: "field", "data-field": id },
    el("label", { for: id }, label), input, ...more,
    hint && el("p", { class: "hint", id: `${id}-hint` }, hint),
    wrong(id));
}

/** @param {string} id the place for what is wrong with a field */
export const wrong = (id) => el("p", { class: "wrong-text field-wrong", id: `${id}-wrong`, hidden: true });

/** @param {Editor} ed @param {FieldProps} p @param {string} value @param {boolean} [quiet] */
function write(ed, p, value, quiet = true) {
  ed.draft.change(p.what ?? p.label, (b) => p.set(b, value), { merge: quiet ? p.id : "", quiet: quiet && !p.redraw });
}

/**
 * A line of text.
 * @param {Editor} ed
 * @param {FieldProps} p
 */
export function text(ed, p) {
  const list = p.choices?.length ? el("datalist", { id: `${p.id}-list` }, ...p.choices.map((c) => el("option", { value: c }))) : null;
  const input = el("input", { type: "text", class: p.wide ? "wide" : "", autocomplete: "off", list: list ? `${p.id}-list` : undefined,
    oninput: () => {
      write(ed, p, input.value);
      p.typed?.(input.value);
    },
    onchange: () => ed.draft.settle() });
  input.value = p.value ?? "";
  return row(p.id, p.label, p.hint, input, list);
}

/**
 * Text of several lines.
 * @param {Editor} ed
 * @param {FieldProps & {rows?: number}} p
 */
export function area(ed, p) {
  const input = el("textarea", { rows: p.rows ?? 2,
    oninput: () => {
      write(ed, p, input.value);
      p.typed?.(input.value);
    },
    onchange: () => ed.draft.settle() });
  input.value = p.value ?? "";
  return row(p.id, p.label, p.hint, input);
}

/**
 * A list of texts, one a line; empty lines don't count.
 * @param {Editor} ed
 * @param {FieldProps & {rows?: number, none?: any}} p none: the value of an empty field
 */
export function lines(ed, p) {
  return area(ed, { ...p, value: (p.value ?? []).join("\n"), rows: p.rows ?? Math.max(2, Math.min(10, (p.value ?? []).length)),
    set: (b, v) => {
      const list = v.split("\n").map((/** @type {string} */ s) => s.trim()).filter(Boolean);
      p.set(b, list.length > 0 ? list : p.none);
    } });
}

/** @param {string} typed @returns {number | null | undefined} undefined for an empty text, null for no number */
export function parseNumber(typed) {
  const s = typed.trim().replace(",", ".");
  if (s === "") return undefined;
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(s) ? Number(s) : null;
}

/**
 * A number, or nothing. What is no number stays in the field and is told.
 * @param {Editor} ed
 * @param {FieldProps & {standard?: any, whole?: boolean, unit?: string}} p standard: shown grey where nothing is given
 */
export function number(ed, p) {
  const clear = p.standard !== undefined && el("button", { type: "button", class: "as-default", id: `${p.id}-clear`, disabled: p.value === undefined || p.value === null,
    "aria-label": `${p.label}: as default`,
    onclick: () => {
      ed.view.raw.delete(p.id);
      ed.draft.change(`${p.label}: as default`, (b) => p.set(b, undefined));
      document.getElementById(p.id)?.focus();
    } }, "as default");
  const input = el("input", { type: "text", inputmode: "decimal", class: "short", autocomplete: "off", placeholder: p.standard === undefined ? undefined : String(p.standard),
    oninput: () => {
      const n = parseNumber(input.value);
      if (n === null || (p.whole && n !== undefined && !Number.isInteger(n))) {
        ed.view.raw.set(p.id, input.value);
        ed.showProblems();
        return;
      }
      ed.view.raw.delete(p.id);
      ed.draft.change(p.what ?? p.label, (b) => p.set(b, n), { merge: p.id, quiet: true });
      if (clear) clear.disabled = n === undefined;
      ed.showProblems();
      p.typed?.(input.value);
    },
    onchange: () => ed.draft.settle() });
  input.value = ed.view.raw.get(p.id) ?? (p.value === undefined || p.value === null ? "" : String(p.value));
  return row(p.id, p.label, p.hint, input, p.unit && el("span", { class: "unit" }, ` ${p.unit} `), clear);
}

/**
 * One of several.
 * @param {Editor} ed
 * @param {FieldProps & {options: [string, string][]}} p options: value and what is shown
 */
export function select(ed, p) {
  const known = p.options.some(([v]) => v === (p.value ?? ""));
  const options = known ? p.options : [...p.options, /** @type {[string, string]} */ ([p.value, `${p.value} (not in the book)`])];
  const input = el("select", { onchange: () => write(ed, p, input.value, false) },
    ...options.map(([v, shown]) => el("option", { value: v }, shown)));
  input.value = p.value ?? "";
  return row(p.id, p.label, p.hint, input);
}

/**
 * Yes or no.
 * @param {Editor} ed
 * @param {FieldProps} p
 */
export function check(ed, p) {
  const input = el("input", { type: "checkbox", id: p.id, "aria-describedby": p.hint ? `${p.id}-hint` : undefined,
    onchange: () => ed.draft.change(p.what ?? p.label, (b) => p.set(b, input.checked)) });
  input.checked = !!p.value;
  return el("div", { class: "field check", "data-field": p.id }, el("label", { for: p.id }, input, p.label),
    p.hint && el("p", { class: "hint", id: `${p.id}-hint` }, p.hint), wrong(p.id));
}

/**
 * A button with an id of its own, so that focus finds it again after drawing.
 * @param {string} id
 * @param {string} label
 * @param {() => void} press
 * @param {{says?: string, disabled?: boolean, class?: string, expanded?: boolean, controls?: string}} [how] says: the whole name for who hears it
 */
export function button(id, label, press, how = {}) {
  return el("button", { type: "button", id, class: how.class, disabled: !!how.disabled, "aria-label": how.says,
    "aria-expanded": how.expanded === undefined ? undefined : String(how.expanded), "aria-controls": how.controls, onclick: press }, label);
}
