// @ts-check
// A desk without a page: presses keys of the test book at given seconds and says
// what is coded then.
import { press, right, letGo, nothingKept } from "/assets/js/desk/coding.js";
import { type } from "/assets/js/desk/entry.js";
import { byStart } from "/assets/js/desk/reading.js";
import { keyPlace } from "/assets/js/desk/keytable.js";
import { book as testBook } from "./book.js";

export class Bench {
  /** @param {string} [side] */
  constructor(side) {
    this.book = testBook(side);
    /** @type {any[]} */
    this.events = [];
    this.kept = nothingKept();
    /** @type {any} */
    this.entry = null;
    this.said = "";
    this.edits = 0;
    this.ids = 0;
  }

  scene() {
    return { book: this.book, events: this.events, kept: this.kept, newId: () => `n${++this.ids}` };
  }

  /** @param {string} key of the book, "e", or a digit @param {number} s */
  press(key, s) {
    const t = Math.round(s * 1e6);
    let done;
    if (/[\d.]/.test(key)) done = type(this.scene(), this.entry, key);
    else if (key === "e") done = right(this.scene(), t);
    else {
      const code = [...this.book.codes.values()].find((c) => keyPlace(this.book.keyOf(c)) === keyPlace(key));
      if (!code) throw new Error(`no code has the key ${key}`);
      done = press(this.scene(), code, t);
    }
    this.take(done);
    return done;
  }

  /** @param {string} id @param {number} s */
  letGo(id, s) {
    const done = letGo(this.scene(), id, Math.round(s * 1e6));
    if (done) this.take(done);
    return done;
  }

  /** @param {any} done */
  take(done) {
    this.entry = done.entry;
    this.said = done.said;
    if (!done.change) return;
    this.edits++;
    const byId = new Map(this.events.map((e) => [e.id, e]));
    for (const e of done.change.put) byId.set(e.id, e);
    for (const id of done.change.remove) byId.delete(id);
    this.events = [...byId.values()].sort(byStart);
  }

  /** What is coded, one text for each event: "behind 2-5", "ahead 5-", "did 7", with details in braces. */
  list() {
    return this.events.map((e) => {
      const end = e.end_us === null ? "-" : e.end_us === e.start_us ? "" : `-${e.end_us / 1e6}`;
      const details = Object.entries(e.details ?? {}).map(([k, v]) => `${k} ${v}`).join(", ");
      return `${e.code} ${e.start_us / 1e6}${end}${details && ` {${details}}`}`;
    });
  }
}

/**
 * Presses "key@seconds" one after the other; digits take no time.
 * @param {string} script
 * @param {string} [side]
 */
export function coded(script, side) {
  const bench = new Bench(side);
  let s = 0;
  for (const word of script.split(" ").filter(Boolean)) {
    const [key, at] = word.split("@");
    if (at !== undefined) s = Number(at);
    bench.press(key, s);
  }
  return bench;
}
