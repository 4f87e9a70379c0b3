// @ts-check
// Lanes and their codes, as a list; the form of a code opens below its line.
import { el } from "../../shared/dom.js";
import { ask, words } from "../ask.js";
import { capOfKey } from "../../desk/keytable.js";
import { codeForm } from "./codeform.js";
import { button, check, row, text } from "./fields.js";
import { MEANS, newCode, roleName } from "./roles.js";

/** @typedef {import("./editor.js").Editor} Editor */

/** @param {Editor} ed @returns {Node[]} */
export function lanes(ed) {
  return [...ed.draft.book.lanes.map((/** @type {any} */ lane, /** @type {number} */ i) => laneNode(ed, lane, i)), addLane(ed)];
}

/** @param {Editor} ed @param {any} lane @param {number} i */
function laneNode(ed, lane, i) {
  const id = `l${i}`;
  const open = ed.view.lane === i;
  return el("section", { class: "lane", "aria-labelledby": `${id}-title` },
    el("div", { class: "lane-head" },
      el("h3", { id: `${id}-title` }, lane.name || "(no name)"),
      el("span", { class: "aside" }, lane.exclusive ? "one at a time" : ""),
      el("span", { class: "flag wrong-text", "data-flag": id, hidden: true }, "needs a look"),
      button(`${id}-open`, open ? "Close" : "Change", () => {
        ed.view.lane = open ? null : i;
        ed.draw();
      }, { class: "push quiet", says: `${open ? "Close" : "Change"} lane ${lane.name}`, expanded: open })),
    open && laneForm(ed, lane, i),
    el("ul", { class: "plain codes" }, ...(lane.codes ?? []).map((/** @type {any} */ code, /** @type {number} */ k) => codeNode(ed, code, i, k))),
    addCode(ed, lane, i));
}

/** @param {Editor} ed @param {any} lane @param {number} i */
function laneForm(ed, lane, i) {
  const id = `l${i}`;
  const many = ed.draft.book.lanes.length;
  /** @param {number} to */
  const move = (to) => {
    ed.view.lane = to;
    ed.draft.change(`place of lane “${lane.name}”`, (b) => b.lanes.splice(to, 0, b.lanes.splice(i, 1)[0]));
    ed.say(`Lane “${lane.name}” is number ${to + 1} of ${many}.`);
    ed.focusFirst(`l${to}-${to < i ? "up" : "down"}`, `l${to}-${to < i ? "down" : "up"}`);
  };
  return el("div", { class: "lane-form", role: "group", "aria-label": `Lane ${lane.name}` },
    text(ed, { id: `${id}-name`, label: "Name", what: `name of lane “${lane.name}”`, value: lane.name, set: (b, v) => (b.lanes[i].name = v),
      typed: (v) => (/** @type {HTMLElement} */ (document.getElementById(`${id}-title`)).textContent = v || "(no name)") }),
    check(ed, { id: `${id}-exclusive`, label: "One at a time", what: `one at a time in “${lane.name}”`, value: lane.exclusive, set: (b, v) => (b.lanes[i].exclusive = v),
      hint: "The next span ends the one before. All exercises stand in one such lane." }),
    el("p", { class: "place-line" },
      button(`${id}-up`, "Up", () => move(i - 1), { disabled: i === 0, says: `Lane ${lane.name}: up` }),
      button(`${id}-down`, "Down", () => move(i + 1), { disabled: i === many - 1, says: `Lane ${lane.name}: down` }),
      button(`${id}-remove`, "Remove lane", () => {
        ed.view.lane = null;
        const n = (lane.codes ?? []).length;
        ed.draft.change(`removal of lane “${lane.name}”`, (b) => b.lanes.splice(i, 1));
        ed.say(`Lane “${lane.name}” is removed${n > 0 ? `, with its ${n} code${n === 1 ? "" : "s"}` : ""}. Readings keep the version they have. Undo brings it back.`);
        ed.focusFirst(`l${Math.min(i, many - 2)}-open`, "add-lane-name");
      }, { says: `Remove lane ${lane.name}` })));
}

/** @param {Editor} ed @param {any} code @param {number} i @param {number} k */
function codeNode(ed, code, i, k) {
  const id = `l${i}c${k}`;
  const open = ed.view.open.has(code.id);
  return el("li", { class: open ? "code open" : "code", id: `${id}-code` },
    el("div", { class: "code-line" },
      el("span", { class: "code-key" }, code.key ? el("kbd", {}, capOfKey(code.key)) : el("span", { class: "muted", title: "no key" }, "–")),
      el("b", { id: `${id}-title` }, code.name || "(no name)"),
      el("span", { class: "muted" }, [roleName(code.role), code.shape, code.channel, code.command && `“${code.command}”`].filter(Boolean).join(", ")),
      el("span", { class: "flag wrong-text", "data-flag": id, hidden: true }, "needs a look"),
      button(`${id}-open`, open ? "Close" : "Change", () => {
        if (open) ed.view.open.delete(code.id);
        else ed.view.open.add(code.id);
        ed.draw();
      }, { class: "push quiet", says: `${open ? "Close" : "Change"} ${code.name}`, expanded: open })),
    !open && code.definition?.starts && el("p", { class: "code-more" }, `Starts: ${code.definition.starts}`),
    open && codeForm(ed, i, k));
}

/** @param {Editor} ed @param {any} lane @param {number} i */
function addCode(ed, lane, i) {
  const id = `l${i}-add`;
  if (ed.view.adding !== i) {
    return el("p", {}, button(id, "Add a code", () => {
      ed.view.adding = i;
      ed.draw();
      ed.focusFirst(`${id}-name`);
    }, { class: "quiet", says: `Add a code to lane ${lane.name}` }));
  }
  const name = el("input", { type: "text", autocomplete: "off" });
  const role = el("select", {}, ...ed.data.roles.map((/** @type {any} */ r) => el("option", { value: r.role }, `${roleName(r.role)}: ${MEANS[r.role] ?? ""}`)));
  role.value = lane.codes?.[0]?.role ?? "remark";
  const close = () => {
    ed.view.adding = null;
    ed.draw();
    ed.focusFirst(id);
  };
  return el("form", { class: "add-form", "aria-label": `New code in lane ${lane.name}`,
    onkeydown: (/** @type {KeyboardEvent} */ e) => e.key === "Escape" && close(),
    onsubmit: async (/** @type {Event} */ e) => {
      e.preventDefault();
      const called = name.value.trim();
      if (called === "") {
        ed.fieldWrong(`${id}-name`, "A code needs a name.");
        name.focus();
        return;
      }
      const used = ed.draft.book.lanes.flatMap((/** @type {any} */ l) => (l.codes ?? []).map((/** @type {any} */ c) => c.id));
      try {
        const code = newCode({ id: (await ask("/api/book/ids", { body: { name: called, used } })).id, name: called, role: role.value, shapes: ed.shapes.get(role.value) ?? [], channel: ed.draft.book.ladder[0]?.channel ?? "" });
        ed.view.adding = null;
        ed.view.open.add(code.id);
        ed.draft.change(`new code “${called}”`, (b) => (b.lanes[i].codes ??= []).push(code));
        ed.say(`“${called}” is added to “${lane.name}”. Give it a key and say when it starts.`);
        ed.focusFirst(`l${i}c${ed.draft.book.lanes[i].codes.length - 1}-key`);
      } catch (err) {
        ed.fieldWrong(`${id}-name`, words(err));
        name.focus();
      }
    } },
  row(`${id}-name`, "Name of the new code", undefined, name),
  row(`${id}-role`, "Role", undefined, role),
  el("p", { class: "place-line" }, el("button", { class: "main" }, "Add"), button(`${id}-leave`, "Leave it", close)));
}

/** @param {Editor} ed */
function addLane(ed) {
  const name = el("input", { type: "text", autocomplete: "off" });
  return el("form", { class: "add-form add-lane", "aria-label": "New lane", onsubmit: (/** @type {Event} */ e) => {
    e.preventDefault();
    const called = name.value.trim();
    if (called === "") {
      ed.fieldWrong("add-lane-name", "A lane needs a name.");
      name.focus();
      return;
    }
    const n = ed.draft.book.lanes.length;
    ed.draft.change(`new lane “${called}”`, (b) => b.lanes.push({ name: called, exclusive: false, codes: [] }));
    ed.say(`Lane “${called}” is added.`);
    ed.focusFirst(`l${n}-add`);
  } }, row("add-lane-name", "New lane", undefined, name), el("p", {}, el("button", {}, "Add the lane")));
}
