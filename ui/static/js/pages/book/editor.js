// @ts-check
// The editor: draws the draft, asks the server what is wrong with it and what has
// changed, and shows both.
import { el, setText } from "../../shared/dom.js";
import { ask, words } from "../ask.js";
import { text } from "./fields.js";
import { house } from "./house.js";
import { keyboard } from "./keyboard.js";
import { ladder } from "./ladder.js";
import { lanes } from "./lanes.js";
import { spotOf } from "./places.js";

/** @typedef {{field: string, message: string, hint: string}} Problem */
/** @typedef {{says: string, field: string, lane?: string, code?: string}} Change */

const PAUSE = 250; // ms of quiet before the server is asked

export class Editor {
  /**
   * @param {HTMLElement} root
   * @param {any} data the page's data
   * @param {import("./draft.js").Draft} draft
   */
  constructor(root, data, draft) {
    this.root = root;
    this.data = data;
    this.draft = draft;
    this.view = {
      /** @type {Set<string>} ids of the codes whose form is open */ open: new Set(),
      /** @type {number | null} lane whose form is open */ lane: null,
      /** @type {number | null} lane that a code is being added to */ adding: null,
      /** @type {number | null} rung whose form is open */ rung: null,
      /** @type {{i: number, k: number, key: string} | null} */ clash: null,
      side: "left",
      /** @type {Map<string, string>} what was typed and can't be read, by field */ raw: new Map(),
      /** @type {Map<string, string>} why not, where there is more to say */ why: new Map(),
    };
    /** @type {Map<string, string[]>} */
    this.shapes = new Map(data.roles.map((/** @type {any} */ r) => [r.role, r.shapes]));
    /** @type {Problem[]} */
    this.problems = [];
    /** @type {Change[]} */
    this.changes = [];
    this.checked = draft.book; // the book that problems and changes are of
    this.failed = ""; // why the server couldn't be asked
    /** @type {Promise<void> | null} */
    this.asking = null;
    this.timer = 0;
    /** @type {(() => void)[]} called when problems or changes are new */
    this.news = [];
    this.parts = {
      summary: el("div", { id: "problems", tabindex: "-1" }),
      name: el("div", {}),
      keyboard: el("section", { "aria-labelledby": "keyboard-title" }),
      lanes: el("section", { "aria-labelledby": "codes-title" }),
      ladder: el("section", { "aria-labelledby": "ladder-title" }),
      house: el("section", { "aria-labelledby": "house-title" }),
    };
    this.status = el("p", { class: "said", role: "status" });
    root.replaceChildren(...Object.values(this.parts));
    draft.listeners.push((quiet) => {
      if (!quiet) this.draw();
      this.later();
    });
  }

  /** Draws everything anew; focus and selection stay where they are. */
  draw() {
    const at = /** @type {any} */ (document.activeElement);
    const id = at && this.root.contains(at) ? at.id : "";
    const selection = id && typeof at.selectionStart === "number" ? [at.selectionStart, at.selectionEnd] : null;
    const top = window.scrollY;
    this.parts.name.replaceChildren(text(this, { id: "book-name", label: "Name of the book", value: this.draft.book.name, set: (b, v) => (b.name = v),
      typed: (v) => setText(/** @type {HTMLElement} */ (document.getElementById("book-title")), v || "(no name)") }));
    setText(/** @type {HTMLElement} */ (document.getElementById("book-title")), this.draft.book.name || "(no name)");
    this.parts.keyboard.replaceChildren(el("h2", { id: "keyboard-title" }, "What lies where"), ...keyboard(this));
    this.parts.lanes.replaceChildren(el("h2", { id: "codes-title" }, "Lanes and codes"), ...lanes(this));
    this.parts.ladder.replaceChildren(el("h2", { id: "ladder-title" }, "Ladder of pressure"), ...ladder(this));
    this.parts.house.replaceChildren(el("h2", { id: "house-title" }, "House rules"), ...house(this));
    window.scrollTo({ top, behavior: "instant" });
    const now = id ? /** @type {any} */ (document.getElementById(id)) : null;
    if (now) {
      now.focus({ preventScroll: true });
      if (selection && now.setSelectionRange) now.setSelectionRange(selection[0], selection[1]);
    }
    this.showProblems();
  }

  /** @param {...string} ids the first that is there and can be used gets the focus */
  focusFirst(...ids) {
    for (const id of ids) {
      const node = /** @type {any} */ (document.getElementById(id));
      if (node && !node.disabled) {
        node.focus();
        return;
      }
    }
  }

  /** @param {string} says what was done, for who can't see it too */
  say(says) {
    setText(this.status, "");
    setText(this.status, says);
  }

  /** @param {string} id of a code's line or lane @param {string} name shown at once while it is typed */
  rename(id, name) {
    const node = document.getElementById(`${id}-title`);
    if (node) setText(node, name || "(no name)");
  }

  /** @param {string} code opens its form and goes there */
  show(code) {
    for (const [i, lane] of this.draft.book.lanes.entries()) {
      const k = (lane.codes ?? []).findIndex((/** @type {any} */ c) => c.id === code);
      if (k < 0) continue;
      this.view.open.add(code);
      this.draw();
      document.getElementById(`l${i}c${k}-code`)?.scrollIntoView({ block: "start" });
      this.focusFirst(`l${i}c${k}-name`);
      return;
    }
  }

  /** Asks the server soon. */
  later() {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.check(), PAUSE);
    for (const f of this.news) f();
  }

  /** Whether what is shown is of the book as it is now. */
  get current() {
    return this.checked === this.draft.book && this.failed === "";
  }

  /** Asks the server what is wrong with the book and what changed. @returns {Promise<void>} */
  async check() {
    clearTimeout(this.timer);
    if (this.asking) await this.asking;
    const book = this.draft.book;
    this.asking = (async () => {
      try {
        const reply = await ask("/api/book/check", { body: { base: this.draft.version, book } });
        this.problems = reply.problems;
        this.changes = reply.changes;
        this.failed = "";
      } catch (e) {
        const w = /** @type {any} */ (e);
        this.failed = w?.problems?.length ? "" : words(e);
        this.problems = w?.problems ?? [];
      }
      this.checked = book;
    })();
    await this.asking;
    this.asking = null;
    this.showProblems();
    for (const f of this.news) f();
    if (this.draft.book !== book) this.later();
  }

  /** What keeps the book from being saved: what the server found and what can't be read. @returns {Problem[]} */
  wrongs() {
    const typed = [...this.view.raw].map(([id, v]) => ({ field: `#${id}`, message: this.view.why.get(id) ?? `“${v}” is no number that fits here.`, hint: "" }));
    return [...typed, ...this.problems];
  }

  /** Shows each problem at its field, and all of them at the top. */
  showProblems() {
    for (const n of this.root.querySelectorAll(".field-wrong")) /** @type {HTMLElement} */ (n).hidden = true;
    for (const n of this.root.querySelectorAll("[aria-invalid]")) n.removeAttribute("aria-invalid");
    for (const n of this.root.querySelectorAll("[data-flag]")) /** @type {HTMLElement} */ (n).hidden = true;
    const items = this.wrongs().map((p) => {
      const spot = p.field.startsWith("#") ? { id: p.field.slice(1) } : spotOf(p.field, this.checked);
      if (spot) this.mark(spot.id, `${p.message} ${p.hint}`.trim());
      const says = `${p.message} ${p.hint}`.trim();
      return el("li", {}, spot ? el("a", { href: `#${spot.id}`, onclick: (/** @type {Event} */ e) => {
        e.preventDefault();
        this.goTo(spot);
      } }, says) : says);
    });
    const head = items.length === 0 ? [] : [el("h2", {}, items.length === 1 ? "One thing to put right" : `${items.length} things to put right`), el("ul", {}, ...items)];
    const was = this.parts.summary.textContent;
    const next = el("div", {}, ...head);
    if (was !== next.textContent) this.parts.summary.replaceChildren(...next.childNodes);
    this.parts.summary.classList.toggle("notice", items.length > 0);
    this.parts.summary.classList.toggle("wrong", items.length > 0);
  }

  /** @param {string} id of a field @param {string} says what is wrong with it */
  mark(id, says) {
    const place = document.getElementById(`${id}-wrong`);
    if (place) {
      setText(place, place.hidden ? says : `${place.textContent} ${says}`);
      place.hidden = false;
      document.getElementById(id)?.setAttribute("aria-invalid", "true");
    }
    const flag = /^(l\d+c\d+|l\d+|r\d+)-/.exec(id);
    for (const n of flag ? this.root.querySelectorAll(`[data-flag="${flag[1]}"]`) : []) /** @type {HTMLElement} */ (n).hidden = false;
  }

  /** @param {string} id @param {string} says for a field that isn't the book's yet */
  fieldWrong(id, says) {
    const place = /** @type {HTMLElement} */ (document.getElementById(`${id}-wrong`));
    setText(place, says);
    place.hidden = false;
    document.getElementById(id)?.setAttribute("aria-invalid", "true");
  }

  /** @param {import("./places.js").Spot} spot opens what it stands in, and goes there */
  goTo(spot) {
    if (spot.code !== undefined) this.view.open.add(spot.code);
    const in_ = /^(l|r)(\d+)-/.exec(spot.id);
    if (in_?.[1] === "l") this.view.lane = Number(in_[2]);
    if (in_?.[1] === "r") this.view.rung = Number(in_[2]);
    this.draw();
    const node = document.getElementById(spot.id) ?? document.getElementById(spot.id.replace(/-[^-]*$/, "-name"));
    node?.scrollIntoView({ block: "center" });
    node?.focus();
  }
}
