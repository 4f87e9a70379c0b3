// @ts-check
// The form of one code.
import { el } from "../../shared/dom.js";
import { area, button, lines, number, select, text } from "./fields.js";
import { keyField } from "./keyfield.js";
import { ALL, DETAILS, MEANS, STARTS, roleName, shapeName } from "./roles.js";
import { texts } from "./texts.js";

/** @typedef {import("./editor.js").Editor} Editor */

/**
 * @param {Editor} ed
 * @param {number} i lane
 * @param {number} k code in it
 */
export function codeForm(ed, i, k) {
  const { book } = ed.draft;
  const code = book.lanes[i].codes[k];
  const id = `l${i}c${k}`;
  const of = (/** @type {any} */ b) => b.lanes[i].codes[k];
  return el("div", { class: "code-form", id: `${id}-form`, role: "group", "aria-label": `The code ${code.name}` },
    el("div", { class: "columns" },
      text(ed, { id: `${id}-name`, label: "Name", what: `name of “${code.name}”`, value: code.name, set: (b, v) => (of(b).name = v), typed: (v) => ed.rename(id, v) }),
      keyField(ed, i, k),
      roleField(ed, i, k),
      select(ed, { id: `${id}-shape`, label: "Shape", value: code.shape, set: (b, v) => (of(b).shape = v),
        options: (ed.shapes.get(code.role) ?? [code.shape]).map((s) => [s, shapeName(s)]) }),
      ...details(ed, id, code, of),
      (STARTS.includes(code.role) || code.then) && select(ed, { id: `${id}-then`, label: "Then starts", value: code.then ?? "", set: (b, v) => (v ? (of(b).then = v) : delete of(b).then),
        hint: "The exercise that begins once it is answered.", options: [["", "nothing"], ...exercises(book)] })),
    lines(ed, { id: `${id}-picks`, label: "Kinds to choose by a digit after the key, one a line", value: code.picks, none: undefined, set: (b, v) => (v ? (of(b).picks = v) : delete of(b).picks),
      hint: "1 to 9 and 0 choose the first ten." }),
    el("fieldset", {}, el("legend", {}, "When to code it"),
      area(ed, { id: `${id}-definition-starts`, label: "Starts", value: code.definition?.starts, set: (b, v) => (def(of(b)).starts = v) }),
      area(ed, { id: `${id}-definition-ends`, label: "Ends", value: code.definition?.ends, set: (b, v) => given(def(of(b)), "ends", v) }),
      area(ed, { id: `${id}-definition-not`, label: "Is not", value: code.definition?.not, set: (b, v) => given(def(of(b)), "not", v) })),
    texts(ed, id, code, of),
    place(ed, i, k));
}

/** @param {any} code */
const def = (code) => (code.definition ??= { starts: "" });

/** @param {any} object @param {string} field @param {any} value taken away where it is nothing */
function given(object, field, value) {
  if (value === "" || value === undefined) delete object[field];
  else object[field] = value;
}

/** @param {any} book @returns {[string, string][]} */
const exercises = (book) => book.lanes.flatMap((/** @type {any} */ l) => l.codes ?? []).filter((/** @type {any} */ c) => c.role === "exercise").map((/** @type {any} */ c) => [c.id, c.name]);

/** @param {Editor} ed @param {number} i @param {number} k */
function roleField(ed, i, k) {
  const code = ed.draft.book.lanes[i].codes[k];
  return select(ed, { id: `l${i}c${k}-role`, label: "Role", value: code.role, hint: "What measures take it for.",
    options: ed.data.roles.map((/** @type {any} */ r) => [r.role, `${roleName(r.role)}: ${MEANS[r.role] ?? ""}`]),
    set: (b, v) => {
      const c = b.lanes[i].codes[k];
      c.role = v;
      const may = ed.shapes.get(v) ?? [];
      if (!may.includes(c.shape)) c.shape = may[0];
    } });
}

/**
 * The details of its role, and any others that it has.
 * @param {Editor} ed
 * @param {string} id
 * @param {any} code
 * @param {(b: any) => any} of
 */
function details(ed, id, code, of) {
  const own = DETAILS[code.role] ?? [];
  const more = [...ALL.values()].filter((d) => !own.some((o) => o.field === d.field) && code[d.field] !== undefined);
  return [...own, ...more].map((d) => {
    const p = { id: `${id}-${d.field}`, label: d.label, hint: own.includes(d) ? d.hint : "Its role has no use for it.", value: code[d.field], set: (/** @type {any} */ b, /** @type {any} */ v) => given(of(b), d.field, v) };
    const none = /** @type {[string, string][]} */ ([["", "not given"]]);
    switch (d.as) {
      case "number": return number(ed, p);
      case "whole": return number(ed, { ...p, whole: true });
      case "select": return select(ed, { ...p, options: [...none, ...(d.choices ?? []).map((c) => /** @type {[string, string]} */ ([c, c]))] });
      case "channel": return select(ed, { ...p, options: [...none, ...[...new Set(ed.draft.book.ladder.map((/** @type {any} */ g) => g.channel))].map((c) => /** @type {[string, string]} */ ([c, c]))] });
    }
    return text(ed, { ...p, choices: d.field === "kind" ? [...new Set([...(d.choices ?? []), ...(code.picks ?? [])])] : d.choices });
  });
}

/**
 * Where the code stands, and taking it out.
 * @param {Editor} ed
 * @param {number} i
 * @param {number} k
 */
function place(ed, i, k) {
  const { book } = ed.draft;
  const lane = book.lanes[i];
  const code = lane.codes[k];
  const id = `l${i}c${k}`;
  const uses = ed.data.uses[code.id];
  const carried = uses ? `${count(uses.events, "event")} in ${count(uses.readings, "reading")} ${uses.events === 1 ? "carries" : "carry"} it. Readings keep the version they have.` : "No reading has used it yet.";
  /** @param {number} to */
  const move = (to) => {
    ed.draft.change(`place of “${code.name}”`, (b) => b.lanes[i].codes.splice(to, 0, b.lanes[i].codes.splice(k, 1)[0]));
    ed.say(`“${code.name}” is number ${to + 1} of ${lane.codes.length} in “${lane.name}”.`);
    ed.focusFirst(`l${i}c${to}-${to < k ? "up" : "down"}`, `l${i}c${to}-${to < k ? "down" : "up"}`);
  };
  const lanes = el("select", { id: `${id}-lane`, onchange: () => {
    const to = Number(lanes.value);
    ed.draft.change(`lane of “${code.name}”`, (b) => (b.lanes[to].codes ??= []).push(b.lanes[i].codes.splice(k, 1)[0]));
    ed.say(`“${code.name}” stands in “${book.lanes[to].name}” now.`);
    ed.focusFirst(`l${to}c${ed.draft.book.lanes[to].codes.length - 1}-lane`);
  } }, ...book.lanes.map((/** @type {any} */ l, /** @type {number} */ n) => el("option", { value: n }, l.name)));
  lanes.value = String(i);
  return el("div", { class: "place" },
    el("span", { class: "place-line" }, el("label", { for: `${id}-lane` }, "Lane "), lanes,
      button(`${id}-up`, "Up", () => move(k - 1), { disabled: k === 0, says: `${code.name}: up` }),
      button(`${id}-down`, "Down", () => move(k + 1), { disabled: k === lane.codes.length - 1, says: `${code.name}: down` }),
      button(`${id}-remove`, "Remove", () => {
        ed.view.open.delete(code.id);
        ed.draft.change(`removal of “${code.name}”`, (b) => b.lanes[i].codes.splice(k, 1));
        ed.say(`“${code.name}” is removed. ${carried} Undo brings it back.`);
        ed.focusFirst(`l${i}c${Math.min(k, lane.codes.length - 2)}-open`, `l${i}-add`);
      }, { says: `Remove ${code.name}` })),
    el("p", { class: "muted" }, `Known as ${code.id}; that never changes. ${carried}`));
}

/** @param {number} n @param {string} what */
const count = (n, what) => `${n} ${what}${n === 1 ? "" : "s"}`;
