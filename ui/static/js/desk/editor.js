// @ts-check
// Everything about the selected event, to be changed. Each field is an edit of
// its own as soon as it is left.
import { el } from "../shared/dom.js";
import { timeLabel, parseTime } from "../shared/time.js";
import { capOf } from "./keytable.js";
import { keepFocus } from "./transport.js";
import { withStart, withEnd, withCode, withDetail } from "./amend.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./amend.js").Room} Room */

/** @typedef {{name: string, label: string, number?: boolean, whole?: boolean, choices?: string[]}} Field */

const KIND = { name: "kind", label: "kind" };

/** What each role can tell, besides its times and its note. @type {Record<string, Field[]>} */
const FIELDS = {
  exercise: [KIND, { name: "posture", label: "posture", choices: ["sit", "down", "stand"] }, { name: "command", label: "command" }, { name: "planned_s", label: "planned, s", number: true }, { name: "handler_m", label: "handler away, m", number: true }],
  error: [KIND], off_task: [KIND], break: [KIND], help: [KIND], reward: [KIND], offered: [KIND], turn: [KIND], pace: [KIND], stress: [KIND], line: [KIND],
  cue: [{ name: "command", label: "command" }, { name: "mode", label: "given by", choices: ["voice", "hand", "body", "tone"] }],
  answer: [{ name: "result", label: "result", choices: ["did", "none", "other"] }],
  halt: [{ name: "command", label: "command" }],
  distraction: [KIND, { name: "distance_m", label: "distance, m", number: true }],
  handler: [{ name: "who", label: "who" }],
  pressure: [{ name: "level", label: "level", number: true }, { name: "taps", label: "taps", number: true, whole: true }, { name: "device", label: "device" }, { name: "channel", label: "channel" }],
};

/**
 * @typedef {object} Asked
 * @property {(e: Event, label: string) => void} change
 * @property {() => void} remove
 * @property {() => void} close
 * @property {(action: string) => void} act
 * @property {(message: string) => void} refused
 * @property {() => Room} room
 * @property {(frame: number) => number} timeOfFrame
 */

export class Editor {
  /**
   * @param {HTMLElement} root
   * @param {Asked} to
   */
  constructor(root, to) {
    this.root = root;
    this.to = to;
    /** @type {Event | null} */
    this.event = null;
    this.drawn = "";
  }

  /**
   * @param {Event[]} selected
   * @param {boolean} open
   */
  update(selected, open) {
    this.root.hidden = !open || selected.length === 0;
    if (this.root.hidden) {
      this.event = null;
      this.drawn = "";
      this.root.replaceChildren();
      return;
    }
    const { book } = this.to.room();
    const before = this.event?.id;
    this.event = selected.length === 1 ? selected[0] : null;
    const drawn = JSON.stringify(selected.map(contentOf));
    if (drawn === this.drawn || (this.drawn !== "" && this.event && this.event.id === before && this.typing())) return;
    this.drawn = drawn;
    const at = /** @type {HTMLInputElement | null} */ (this.root.contains(document.activeElement) ? document.activeElement : null);
    const whole = !!at?.value && at.selectionStart === 0 && at.selectionEnd === at.value.length; // as Tab leaves it: typing replaces it
    this.root.replaceChildren(...(this.event ? this.fields(book, this.event) : [this.many(selected.length)]));
    if (!at?.id) return;
    const now = /** @type {HTMLInputElement | null} */ (document.getElementById(at.id));
    now?.focus();
    if (whole) now?.select();
  }

  /** Whether the field in focus holds text that isn't given yet; drawing anew would tear it apart. */
  typing() {
    const at = /** @type {HTMLInputElement | null} */ (document.activeElement);
    return !!at?.matches("input, textarea") && this.root.contains(at) && at.value !== at.defaultValue;
  }

  /** @param {string} id focuses a field: "edit-code", "edit-note" */
  focus(id) {
    document.getElementById(id)?.focus();
  }

  /** @param {number} n */
  many(n) {
    return el("div", { class: "edit-head" }, el("b", {}, `${n} events`), this.buttons());
  }

  buttons() {
    return el("span", { class: "edit-buttons" },
      el("button", { type: "button", id: "edit-remove", title: `Remove (${capOf("delete")})`, onclick: () => this.to.remove() }, "remove"),
      el("button", { type: "button", id: "edit-done", title: `Close (${capOf("escape")})`, onclick: () => this.to.close() }, "done"));
  }

  /** @param {Book} book @param {Event} e */
  fields(book, e) {
    const code = book.code(e.code);
    const moment = e.end_us === e.start_us;
    /** @type {HTMLElement[]} */
    const rows = [
      el("div", { class: "edit-head" }, this.codes(book, e), this.buttons()),
      el("div", { class: "edit-times" },
        ...this.time("start", "start", e.start_us, "start-here"),
        ...(code?.shape === "moment" ? [] : this.time("end", "end", e.end_us === null ? "on" : moment ? "moment" : e.end_us, "end-here"))),
    ];
    const details = el("div", { class: "edit-details" });
    for (const f of FIELDS[code?.role ?? ""] ?? []) {
      if (f.name === "taps" && !moment) continue;
      details.append(this.detail(book, e, f));
    }
    if (details.childElementCount > 0) rows.push(details);
    rows.push(el("label", { class: "edit-note" }, el("span", {}, "note"),
      el("textarea", { id: "edit-note", rows: "1", maxlength: "4000", onchange: (/** @type {any} */ ev) => this.note(ev.target.value) }, e.note ?? "")));
    return rows;
  }

  /** @param {Book} book @param {Event} e */
  codes(book, e) {
    const select = el("select", { id: "edit-code", "aria-label": "Code", onchange: () => this.apply(withCode(this.to.room(), this.current(), select.value), "another code") },
      ...book.lanes.map((lane) => el("optgroup", { label: lane.name }, ...lane.codes.map((c) => el("option", { value: c.id }, c.name)))));
    select.value = e.code;
    return select;
  }

  /**
   * @param {"start" | "end"} edge
   * @param {string} label
   * @param {number | string} value
   * @param {string} action
   */
  time(edge, label, value, action) {
    const text = typeof value === "number" ? timeLabel(value) : value;
    const hint = edge === "end" ? "A time, # and a frame, “on” while it runs, or “moment”" : "A time, or # and a frame";
    return [el("label", {}, el("span", {}, label),
      el("input", { type: "text", id: `edit-${edge}`, value: text, size: "9", autocomplete: "off", title: hint, onchange: (/** @type {any} */ ev) => this.typedTime(edge, ev.target) })),
    el("button", { type: "button", id: `edit-${action}`, class: "here", "aria-label": `${label} here`, title: `${label === "start" ? "Start" : "End"} at the frame shown (${capOf(action)})`, onmousedown: keepFocus, onclick: () => this.to.act(action) }, "here")];
  }

  /** @param {"start" | "end"} edge @param {HTMLInputElement} input */
  typedTime(edge, input) {
    const e = this.current();
    const text = input.value.trim().toLowerCase();
    if (edge === "end" && (text === "on" || text === "")) return this.apply(withEnd(this.to.room(), e, null), "end opened");
    if (edge === "end" && text === "moment") return this.apply(withEnd(this.to.room(), e, e.start_us), "made a moment");
    const t = parseTime(text);
    if (!t) return this.refuse("A time is written like 0:35.604 or 35.6, a frame like #1068.");
    const us = "us" in t ? t.us : this.to.timeOfFrame(t.frame);
    this.apply(edge === "start" ? withStart(this.to.room(), e, us) : withEnd(this.to.room(), e, us), `${edge} moved`);
  }

  /** @param {Book} book @param {Event} e @param {Field} f */
  detail(book, e, f) {
    const code = /** @type {any} */ (book.code(e.code));
    const own = e.details?.[f.name];
    const list = f.name === "kind" ? code?.picks : f.name === "channel" ? [...new Set(book.ladder.map((r) => r.channel))] : f.choices;
    const input = el("input", {
      type: "text", id: `edit-${f.name}`, value: own ?? "", placeholder: code?.[f.name] ?? "", autocomplete: "off", maxlength: "200", inputmode: f.number ? "decimal" : null,
      list: list?.length ? `list-${f.name}` : null, onchange: () => this.typedDetail(f, input.value),
    });
    return el("label", {}, el("span", {}, f.label), input, list?.length ? el("datalist", { id: `list-${f.name}` }, ...list.map((/** @type {string} */ v) => el("option", { value: v }))) : null);
  }

  /** @param {Field} f @param {string} text */
  typedDetail(f, text) {
    /** @type {string | number} */
    let value = text.trim();
    if (f.number && value !== "") {
      value = Number(value.replace(",", "."));
      if (!Number.isFinite(value)) return this.refuse(`${f.label}: this has to be a number.`);
    }
    this.apply(withDetail(this.to.room(), this.current(), f.name, value), value === "" ? `${f.label} taken away` : `${f.label} ${value}`);
  }

  /** @param {string} text */
  note(text) {
    const { note, ...e } = this.current();
    this.apply(text.trim() === "" ? e : { ...e, note: text }, "note");
  }

  current() {
    return /** @type {Event} */ (this.event);
  }

  /** @param {Event | string} result @param {string} what */
  apply(result, what) {
    this.drawn = ""; // what was typed is given: drawn as it is said here
    if (typeof result === "string") this.refuse(result);
    else this.to.change(result, `${this.to.room().book.nameOf(result)}, ${what}`);
  }

  /** @param {string} message the field goes back to what is stored */
  refuse(message) {
    this.drawn = "";
    this.to.refused(message);
  }
}

/**
 * What the fields show of an event, the same whether it is a page's or the
 * server's, which leave different things out.
 * @param {Event} e
 */
const contentOf = (e) => [e.id, e.code, e.start_us, e.end_us, Object.entries(e.details ?? {}).sort(), e.note ?? ""];
