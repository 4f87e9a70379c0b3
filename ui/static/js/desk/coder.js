// @ts-check
// Turns presses of coding keys into edits: reads the clock, asks coding.js what
// the press means, and remembers what digits and the letting go would belong to.
import { press, right, letGo, nothingKept } from "./coding.js";
import { type, untype, levelsOf } from "./entry.js";
import { uuid7 } from "./uuid.js";

/** @typedef {import("./book.js").Code} Code */
/** @typedef {import("./coding.js").Outcome} Outcome */
/** @typedef {import("./coding.js").Scene} Scene */

/** A key held for longer than this is held, not tapped, ms. */
export const HOLD_MS = 600;

/**
 * @typedef {object} Table the desk, as far as coding goes
 * @property {() => import("./book.js").Book} book
 * @property {() => readonly import("./types.js").Event[]} events
 * @property {() => import("./types.js").Device | null} [device] what the session is worked with
 * @property {() => string} [blind] why nothing can be coded now: there is no picture to code by; "" if there is
 * @property {(stamp: number) => number} timeAt media time that was shown at a moment of the clock
 * @property {(change: import("./types.js").Change) => void} commit
 * @property {(text: string) => void} say
 * @property {(id: string | null) => void} coded the event that the press was about
 * @property {() => void} entered the entry has changed
 */

export class Coder {
  /** @param {Table} table */
  constructor(table) {
    this.table = table;
    this.kept = nothingKept();
    /** @type {import("./types.js").Entry | null} */
    this.entry = null;
    this.erased = false;
    /** @type {Map<string, string>} what is held down, with the event that it made */
    this.held = new Map();
  }

  /** @returns {Scene} */
  scene() {
    return { book: this.table.book(), events: this.table.events(), kept: this.kept, device: this.table.device?.() ?? null, newId: uuid7 };
  }

  /** Takes up the levels that a reading's events leave behind. */
  recall() {
    for (const [channel, level] of levelsOf(this.table.book(), this.table.events())) {
      if (!this.kept.levels.has(channel)) this.kept.levels.set(channel, level);
    }
  }

  /**
   * @param {Code} code
   * @param {number} stamp
   * @param {string} by what is pressed, so that its letting go is known
   */
  press(code, stamp, by) {
    const blind = this.table.blind?.();
    if (blind) return this.table.say(blind);
    const done = press(this.scene(), code, this.table.timeAt(stamp));
    this.held.delete(by);
    if (done.held) this.held.set(by, done.held);
    this.take(done);
  }

  /** @param {number} stamp */
  right(stamp) {
    const blind = this.table.blind?.();
    if (blind) return this.table.say(blind);
    this.take(right(this.scene(), this.table.timeAt(stamp)));
  }

  /** @param {string} by @param {number} stamp @param {number} heldMs */
  release(by, stamp, heldMs) {
    const id = this.held.get(by);
    this.held.delete(by);
    if (id === undefined || heldMs < HOLD_MS) return;
    const done = letGo(this.scene(), id, this.table.timeAt(stamp));
    if (!done) return;
    // What was typed meanwhile stays typed.
    this.take({ ...done, entry: this.entry ?? done.entry });
  }

  /** @param {string} digit @returns {boolean} whether an entry took it */
  digit(digit) {
    if (!this.entry) return false;
    this.erased = false;
    this.take(type(this.scene(), this.entry, digit));
    return true;
  }

  /** Takes a digit back. @returns {boolean} whether there is an entry that digits were typed into */
  erase() {
    if (!this.entry || (this.entry.typed === "" && !this.erased)) return false;
    if (this.entry.typed !== "" && this.entry.kind === "level") {
      this.erased = true;
      this.take(untype(this.scene(), this.entry));
    }
    return true;
  }

  /** Any other key closes the entry. */
  close() {
    if (this.entry === null) return;
    this.entry = null;
    this.erased = false;
    this.table.entered();
  }

  /** @param {Outcome} done */
  take(done) {
    this.entry = done.entry;
    if (done.change) this.table.commit(done.change);
    this.table.coded(done.subject);
    this.table.say(done.said);
    this.table.entered();
  }

  /** A level was given in another way. @param {import("./types.js").Event} e */
  note(e) {
    const book = this.table.book();
    if (book.role(e) !== "pressure" || typeof e.details?.level !== "number") return;
    const device = book.detail(e, "device");
    this.kept.levels.set(String(book.detail(e, "channel") ?? ""), { level: e.details.level, ...(device && { device }) });
  }
}
