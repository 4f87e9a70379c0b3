// @ts-check
// The ladder of pressure, drawn from mild to strong as the strip draws it: the
// length of a stem is its rank, a round foot is help, a square one correction.
import { el } from "../../shared/dom.js";
import { button, number, row, text } from "./fields.js";

/** @typedef {import("./editor.js").Editor} Editor */

const SVG = "http://www.w3.org/2000/svg";

/** @param {string} tag @param {Record<string, string | number>} props */
function svg(tag, props, /** @type {Node[]} */ ...children) {
  const node = document.createElementNS(SVG, tag);
  for (const [k, v] of Object.entries(props)) node.setAttribute(k, String(v));
  node.append(...children);
  return node;
}

/** @param {number} rank @param {boolean} help */
function stem(rank, help) {
  const length = Math.min(10, Math.max(0, rank)) * 14;
  const end = 4 + length;
  const foot = help ? svg("circle", { cx: end, cy: 9, r: 5 }) : svg("rect", { x: end - 5, y: 4, width: 10, height: 10 });
  return svg("svg", { class: help ? "stem help" : "stem correction", viewBox: "0 0 156 18", width: 156, height: 18, "aria-hidden": "true" },
    svg("line", { x1: 4, y1: 3, x2: 4, y2: 15 }), svg("line", { x1: 4, y1: 9, x2: end, y2: 9 }), foot);
}

/** @param {Editor} ed @returns {Node[]} */
export function ladder(ed) {
  const { book } = ed.draft;
  const order = book.ladder.map((/** @type {any} */ g, /** @type {number} */ n) => ({ g, n })).sort((/** @type {any} */ a, /** @type {any} */ b) => a.g.rank - b.g.rank || a.n - b.n);
  return [
    el("div", { class: "notice cautions", role: "note", "aria-label": "Cautions" }, ...ed.data.cautions.map((/** @type {string} */ c) => el("p", {}, c))),
    el("p", {}, "From mild to strong. The ranks are yours to order; none is advised. Levels compare only within one channel and device."),
    el("ol", { class: "plain ladder" }, ...order.map((/** @type {any} */ { g, n }) => rung(ed, g, n))),
    el("p", {}, button("add-rung", "Add a channel or device", () => {
      ed.draft.change("new rung of the ladder", (b) => b.ladder.push({ channel: "", rank: 1 }));
      ed.view.rung = ed.draft.book.ladder.length - 1;
      ed.draw();
      ed.focusFirst(`r${ed.draft.book.ladder.length - 1}-channel`);
    })),
    number(ed, { id: "help-rank", label: "Highest rank that counts as help", whole: true, value: book.help_rank, redraw: true,
      set: (b, v) => (b.help_rank = v ?? 0), hint: "Higher ranks count as correction: in numbers, grades and on the strip." }),
  ];
}

/** @param {any} g @returns {string} */
export const scaleOf = (g) => (g.device ? `${g.channel}@${g.device}` : g.channel || "(no channel)");

/** @param {Editor} ed @param {any} g @param {number} n */
function rung(ed, g, n) {
  const id = `r${n}`;
  const help = g.rank <= ed.draft.book.help_rank;
  const open = ed.view.rung === n;
  const users = ed.draft.book.lanes.flatMap((/** @type {any} */ l) => l.codes ?? []).filter((/** @type {any} */ c) => c.role === "pressure" && c.channel === g.channel && (!g.device || c.device === g.device));
  return el("li", { class: "rung" },
    el("div", { class: "rung-line" },
      el("span", { class: "rung-name" }, g.channel || "(no channel)", g.device && el("span", { class: "muted" }, ` ${g.device}`)),
      stem(g.rank, help),
      el("span", { class: "muted" }, `rank ${g.rank}, ${help ? "help" : "correction"}${g.level_max === undefined ? "" : `, device goes to ${g.level_max}`}`),
      el("span", { class: "flag wrong-text", "data-flag": id, hidden: true }, "needs a look"),
      button(`${id}-open`, open ? "Close" : "Change", () => {
        ed.view.rung = open ? null : n;
        ed.draw();
      }, { class: "push quiet", says: `${open ? "Close" : "Change"} ${scaleOf(g)}`, expanded: open })),
    open && el("div", { class: "columns rung-form", role: "group", "aria-label": `Ladder: ${scaleOf(g)}` },
      text(ed, { id: `${id}-channel`, label: "Channel", value: g.channel, set: (b, v) => (b.ladder[n].channel = v.trim()), hint: "Codes name it. A name that starts with leash counts as leash." }),
      text(ed, { id: `${id}-device`, label: "Device, if it has a rank or scale of its own", value: g.device, set: (b, v) => (v.trim() ? (b.ladder[n].device = v.trim()) : delete b.ladder[n].device) }),
      number(ed, { id: `${id}-rank`, label: "Rank, 1 is the mildest", whole: true, value: g.rank, set: (b, v) => (b.ladder[n].rank = v ?? 0) }),
      number(ed, { id: `${id}-level_max`, label: "Highest level that the device has", value: g.level_max, set: (b, v) => (v === undefined ? delete b.ladder[n].level_max : (b.ladder[n].level_max = v)),
        hint: "From its manual. A level typed above it is refused as a slip." }),
      row(`${id}-use`, "Codes on it", undefined, el("output", {}, users.map((/** @type {any} */ c) => c.name).join(", ") || "none")),
      el("p", {}, button(`${id}-remove`, "Remove", () => {
        ed.view.rung = null;
        ed.draft.change(`removal of “${scaleOf(g)}” from the ladder`, (b) => b.ladder.splice(n, 1));
        ed.say(`“${scaleOf(g)}” is off the ladder.${users.length > 0 ? ` Codes still on it: ${users.map((/** @type {any} */ c) => c.name).join(", ")}.` : ""} Undo brings it back.`);
        ed.focusFirst("add-rung");
      }, { says: `Remove ${scaleOf(g)} from the ladder` }))));
}
