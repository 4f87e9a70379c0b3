// @ts-check
// The keys as a picture: where the dog is, around the handler's leg, and every
// other code by what it tells. Each is a button too; what runs is shown pressed.
import { el, setText } from "../shared/dom.js";
import { running } from "./spans.js";
import { capOf, capOfKey } from "./keytable.js";
import { keepFocus } from "./transport.js";
import { roving } from "./roving.js";
import { CAUTIONS } from "./cautions.js";

/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./book.js").Code} Code */
/** @typedef {import("./coding.js").Scene} Scene */

// Groups under the map, by role.
const GROUPS = [
  { title: "cue", roles: ["cue", "release"] },
  { title: "pressure", roles: ["pressure"] },
  { title: "help, reward", roles: ["help", "reward"] },
  { title: "moves", roles: ["break", "halt", "turn", "pace"] },
  { title: "exercise", roles: ["exercise"] },
  { title: "dog, picture", roles: ["stress", "offered", "distraction", "hidden", "remark"] },
];

/**
 * @typedef {object} Presses
 * @property {(code: Code, stamp: number, by: string) => void} code
 * @property {(by: string, stamp: number, held: number) => void} release
 * @property {(stamp: number) => void} right
 */

export class KeyMap {
  /**
   * @param {HTMLElement} root
   * @param {Presses} to
   * @param {AbortSignal} signal
   */
  constructor(root, to, signal) {
    this.root = root;
    this.to = to;
    this.rove = roving(root, signal);
    /** @type {Map<string, HTMLButtonElement>} by code id */
    this.buttons = new Map();
    /** @type {Map<string, HTMLElement>} by code id, for the level that is kept */
    this.levels = new Map();
  }

  /** @param {Book} book draws everything anew */
  draw(book) {
    this.buttons.clear();
    this.levels.clear();
    const codes = [...book.codes.values()];
    const cells = mapOf(book);
    const placed = new Set([...cells.values()].filter((c) => c !== "right" && c !== "leg"));
    const map = el("div", { class: "map", role: "group", "aria-label": "Out of position: where the dog is" },
      ...[..."123456789"].map((n) => {
        const what = cells.get(Number(n) - 1);
        if (what === "leg") return el("span", { class: "cell leg" }, el("span", { "aria-hidden": "true" }, "↑"), " leg");
        if (what === "right") return this.rightButton();
        return what ? this.button(book, /** @type {Code} */ (what), "cell") : el("span", { class: "cell empty" });
      }));
    const rest = codes.filter((c) => !placed.has(c));
    const keyed = rest.filter((c) => book.keyOf(c));
    const groups = [];
    let cautions = null;
    for (const { title, roles } of [...GROUPS, { title: "more", roles: ["error", "off_task"] }]) {
      const own = keyed.filter((c) => roles.includes(c.role));
      if (own.length === 0) continue;
      groups.push(el("div", { class: "group", role: "group", "aria-label": title }, el("span", { class: "group-title", "aria-hidden": "true" }, title),
        ...own.map((c) => this.button(book, c, "code"))));
      groups.push(" ");
      if (roles.includes("pressure")) cautions = el("details", { class: "caution" }, el("summary", {}, CAUTIONS[0]), ...CAUTIONS.slice(1).map((c) => el("p", {}, c)));
    }
    const answers = keyed.filter((c) => c.role === "answer" || c.role === "heard").sort((a, b) => Number(a.role === "heard") - Number(b.role === "heard"));
    const bare = rest.filter((c) => !book.keyOf(c));
    this.root.replaceChildren(el("div", { class: "top" }, map,
      answers.length > 0 && el("div", { class: "answers", role: "group", "aria-label": "answer" }, ...answers.map((c) => this.button(book, c, "code")))), el("div", { class: "groups" }, ...groups), ...(cautions ? [cautions] : []));
    if (bare.length > 0) {
      const lanes = [...new Set(bare.map((c) => c.lane.name))];
      this.root.append(el("details", { class: "bare" }, el("summary", {}, `without a key: ${lanes.join(", ")}`),
        ...lanes.map((lane) => el("div", { class: "group", role: "group", "aria-label": lane }, el("span", { class: "group-title", "aria-hidden": "true" }, lane),
          ...bare.filter((c) => c.lane.name === lane).map((c) => this.button(book, c, "code"))))));
    }
    this.rove();
  }

  rightButton() {
    return el("button", { type: "button", class: "cell right", title: "The dog is right: ends the newest of out of position, off-task, broken; else answers the open cue with did",
      onmousedown: keepFocus, onclick: (/** @type {MouseEvent} */ e) => this.to.right(e.timeStamp) }, el("kbd", {}, capOf("right")), " right");
  }

  /**
   * A code's button. A press counts from when the finger comes down, and is done
   * when it goes up on the button, so that it can still be drawn away.
   * @param {Book} book
   * @param {Code} code
   * @param {string} kind
   */
  button(book, code, kind) {
    const key = book.keyOf(code);
    const level = el("i", { class: "level" });
    /** @type {number | null} */
    let down = null;
    const b = el("button", {
      type: "button", class: kind, "data-code": code.id, title: titleOf(code), onmousedown: keepFocus,
      onpointerdown: (/** @type {PointerEvent} */ e) => (down = e.timeStamp),
      onclick: (/** @type {MouseEvent} */ e) => {
        const from = e.detail > 0 && down !== null ? down : e.timeStamp; // detail 0: by the keyboard
        down = null;
        this.to.code(code, from, "button");
        if (e.timeStamp > from) this.to.release("button", e.timeStamp, e.timeStamp - from);
      },
    }, key && el("kbd", {}, capOfKey(key)), key && " ", book.label(code), level);
    this.buttons.set(code.id, b);
    this.levels.set(code.id, level);
    return b;
  }

  /**
   * Shows what runs at t and which levels are kept.
   * @param {Scene} scene
   * @param {number} t
   */
  update({ book, events, kept }, t) {
    const on = new Set(running(events, t, () => true).map((e) => e.code));
    for (const [id, b] of this.buttons) {
      const code = /** @type {Code} */ (book.code(id));
      if (code.shape === "moment") continue;
      const pressed = String(on.has(id));
      if (b.getAttribute("aria-pressed") !== pressed) b.setAttribute("aria-pressed", pressed);
    }
    for (const [id, node] of this.levels) {
      const code = /** @type {Code} */ (book.code(id));
      const level = code.role === "pressure" ? kept.levels.get(code.channel ?? "")?.level : undefined;
      setText(node, level === undefined ? "" : ` ${level}`);
    }
  }
}

/**
 * What lies in each of the nine cells around the leg, by number from the upper
 * left. Wide is on the side away from the handler: left for a dog on the left.
 * @param {Book} book
 * @returns {Map<number, Code | "leg" | "right">}
 */
export function mapOf(book) {
  /** @type {Map<number, Code | "leg" | "right">} */
  const cells = new Map([[4, "leg"], [2, "right"]]);
  const left = book.side === "left";
  const place = /** @type {Record<string, number>} */ ({ ahead: 1, behind: 7, wide: left ? 3 : 5, crowding: left ? 5 : 3 });
  const free = [6, 8];
  for (const code of book.codes.values()) {
    if (!book.keyOf(code)) continue;
    const cell = code.role === "off_task" ? 0 : code.role === "error" ? place[code.kind ?? ""] ?? free.find((n) => !cells.has(n)) : undefined;
    if (cell !== undefined && !cells.has(cell)) cells.set(cell, code);
  }
  return cells;
}

/** @param {Code} code */
function titleOf(code) {
  const { starts, ends, not } = code.definition ?? {};
  return [code.name, starts && `starts: ${starts}`, ends && `ends: ${ends}`, not && `not: ${not}`].filter(Boolean).join("\n");
}
