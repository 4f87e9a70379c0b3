// @ts-check
// The events in order of time, one row each. Only the rows in view are in the
// page, so that thousands cost no more than a few.
import { el, setText } from "../shared/dom.js";
import { timeLabel } from "../shared/time.js";
import { detailsOf, lengthOf } from "./describe.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */

/** Height of a row, px; desk.css has the same. */
const ROW = 26;

/**
 * @typedef {object} Asked
 * @property {(ids: string[], add: boolean) => void} select and jump there
 * @property {() => void} edit
 */

export class EventList {
  /**
   * @param {HTMLElement} root
   * @param {Asked} to
   * @param {AbortSignal} signal
   */
  constructor(root, to, signal) {
    this.root = root;
    this.to = to;
    /** @type {readonly Event[]} */
    this.events = [];
    /** @type {Book | null} */
    this.book = null;
    /** @type {Set<string>} */
    this.selection = new Set();
    this.now = -1; // index of the last event that starts at or before the time shown
    this.active = ""; // id of the row that the arrows go on from
    this.body = el("div", { class: "rows-body" });
    this.empty = el("p", { class: "muted" }, "The reading is on its way …");
    root.replaceChildren(this.empty, this.body);
    for (const [name, value] of Object.entries({ tabindex: "0", role: "listbox", "aria-multiselectable": "true", "aria-label": "Events" })) root.setAttribute(name, value);
    root.addEventListener("scroll", () => this.paint(), { signal, passive: true });
    root.addEventListener("keydown", (e) => this.key(e), { signal });
    root.addEventListener("click", (e) => this.click(e), { signal });
    root.addEventListener("dblclick", () => this.to.edit(), { signal });
    const sizes = new ResizeObserver(() => {
      if (this.selection.has(this.active)) this.reveal(this.indexOf(this.active)); // the editor takes its room from the list
      this.paint();
    });
    sizes.observe(root);
    signal.addEventListener("abort", () => sizes.disconnect());
  }

  /**
   * @param {readonly Event[]} events in order
   * @param {Book} book
   */
  setEvents(events, book) {
    this.events = events;
    this.book = book;
    this.empty.hidden = events.length > 0;
    setText(this.empty, "Nothing is coded yet. Play, and press a key when you see it.");
    this.body.style.height = `${events.length * ROW}px`;
    this.paint();
    // An event whose time was changed has another place: the list goes along.
    if (this.selection.has(this.active)) this.reveal(this.indexOf(this.active));
  }

  /** @param {Set<string>} selection */
  setSelection(selection) {
    this.selection = selection;
    const id = selection.size > 0 ? [...selection][selection.size - 1] : "";
    if (id) this.active = id;
    this.paint();
    if (id) this.reveal(this.indexOf(id));
  }

  /**
   * The rows go along with the time, unless somebody is at work in the list.
   * @param {number} t
   */
  setTime(t) {
    let low = 0;
    let high = this.events.length;
    while (low < high) {
      const mid = (low + high) >> 1;
      if (this.events[mid].start_us <= t) low = mid + 1;
      else high = mid;
    }
    if (low - 1 === this.now) return;
    this.now = low - 1;
    if (!this.root.matches(":hover, :focus")) this.reveal(this.now);
    this.paint();
  }

  /** @param {string} id */
  indexOf(id) {
    return this.events.findIndex((e) => e.id === id);
  }

  /** @param {number} i scrolls as far as needed to have row i in view */
  reveal(i) {
    if (i < 0) return;
    const { scrollTop, clientHeight } = this.root;
    if (i * ROW < scrollTop) this.root.scrollTop = Math.max(0, (i - 1) * ROW);
    else if ((i + 1) * ROW > scrollTop + clientHeight) this.root.scrollTop = (i + 2) * ROW - clientHeight;
  }

  paint() {
    const { book, events } = this;
    if (!book) return;
    const { scrollTop, clientHeight } = this.root;
    const from = Math.max(0, Math.floor(scrollTop / ROW) - 4);
    const to = Math.min(events.length, Math.ceil((scrollTop + clientHeight) / ROW) + 4);
    const rows = [];
    for (let i = from; i < to; i++) rows.push(this.row(events[i], i, book));
    this.body.replaceChildren(...rows);
    const at = this.indexOf(this.active);
    if (at >= from && at < to) this.root.setAttribute("aria-activedescendant", `event-${this.active}`);
    else this.root.removeAttribute("aria-activedescendant");
  }

  /** @param {Event} e @param {number} i @param {Book} book */
  row(e, i, book) {
    const role = book.role(e);
    const wrong = ["error", "off_task", "break", "stress"].includes(role) || (role === "answer" && book.detail(e, "result") !== "did");
    const details = detailsOf(book, e);
    const long = lengthOf(e);
    const row = el("div", {
      role: "option", id: `event-${e.id}`, class: ["event", wrong ? "wrong" : "", role === "exercise" ? "exercise" : "", i === this.now ? "now" : ""].filter(Boolean).join(" "),
      "data-id": e.id, "aria-selected": String(this.selection.has(e.id)), "aria-setsize": this.events.length, "aria-posinset": i + 1,
    },
    el("span", { class: "at" }, timeLabel(e.start_us, 1)),
    el("span", { class: "what" }, el("span", { class: "name" }, book.nameOf(e)), details && el("span", { class: "more" }, ` ${details}`),
      long && el("span", { class: "long" }, e.end_us === null ? ", still on" : ` for ${long}`), e.note && el("span", { class: "note", title: e.note }, ` ${e.note}`)));
    row.style.top = `${i * ROW}px`;
    return row;
  }

  /** @param {MouseEvent} e */
  click(e) {
    const id = /** @type {Element} */ (e.target).closest("[data-id]")?.getAttribute("data-id");
    if (id) this.to.select([id], e.shiftKey || e.ctrlKey || e.metaKey);
  }

  /** @param {KeyboardEvent} e the arrows walk through the rows while the list is in focus */
  key(e) {
    const way = { ArrowDown: 1, ArrowUp: -1 }[e.key];
    if (!way || e.ctrlKey || e.metaKey || e.altKey || this.events.length === 0) return;
    e.preventDefault();
    const at = this.indexOf(this.active);
    const i = at < 0 ? Math.max(0, this.now) : Math.min(Math.max(at + way, 0), this.events.length - 1);
    this.to.select([this.events[i].id], e.shiftKey);
  }
}
