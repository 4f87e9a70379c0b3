// @ts-check
// Which cue waits for an answer at a time. The measures judge trials; this only
// says what the next press of an answer key would answer.
import { isSpan } from "./spans.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */

/**
 * A trial: open in [start, close); until the next cue, halt, release or did its
 * cue can still be answered late, outside the trial.
 * @typedef {object} Trial
 * @property {string} command
 * @property {boolean} halt opened by a halt
 * @property {string} code id of the code that opened it
 * @property {number} start
 * @property {number} close
 * @property {number} until
 * @property {number[]} repeats times of them
 * @property {{at: number, result: string}[]} answers while it was open
 */

// Order of events that start together, as the measures have it.
const ORDER = ["answer", "break", "release", "cue", "halt"];

/** @type {WeakMap<readonly Event[], {book: Book, trials: Trial[]}>} */
const known = new WeakMap();

/**
 * Every trial of a reading, by start.
 * @param {Book} book
 * @param {readonly Event[]} events
 * @returns {Trial[]}
 */
export function trialsOf(book, events) {
  const kept = known.get(events);
  if (kept?.book === book) return kept.trials;
  const trials = find(book, events);
  known.set(events, { book, trials });
  return trials;
}

/**
 * The trial that is open at t, and the last cue that a late answer would be to.
 * @param {Book} book
 * @param {readonly Event[]} events
 * @param {number} t
 * @returns {{open: Trial | null, asked: Trial | null}}
 */
export function trialAt(book, events, t) {
  const trials = trialsOf(book, events);
  let i = trials.length - 1;
  while (i >= 0 && trials[i].start > t) i--;
  const last = trials[i];
  if (!last) return { open: null, asked: null };
  return { open: t < last.close ? last : null, asked: t < last.until ? last : null };
}

/** @param {Book} book @param {readonly Event[]} events */
function find(book, events) {
  const place = (/** @type {Event} */ e) => {
    const i = ORDER.indexOf(book.role(e));
    return i < 0 ? ORDER.length : i;
  };
  const ordered = [...events].sort((a, b) => a.start_us - b.start_us || place(a) - place(b) || (a.id < b.id ? -1 : 1));
  /** @type {Trial[]} */
  const trials = [];
  let last = /** @type {Trial | null} */ (null);
  /** @type {Event[]} spans that a reminder looks at, some of them over by now */
  let spans = [];
  const close = (/** @type {number} */ t) => {
    if (last) {
      last.close = Math.min(last.close, t);
      last.until = Math.min(last.until, t);
    }
  };
  for (const e of ordered) {
    const t = e.start_us;
    /** @type {Trial | null} */
    const open = last && t < last.close ? last : null;
    switch (book.role(e)) {
      case "exercise": case "error": case "off_task": case "break":
        if (isSpan(e)) spans.push(e);
        break;
      case "hidden":
        if (last) last.close = Math.min(last.close, t);
        break;
      case "release":
        close(t);
        break;
      case "answer": {
        const result = String(book.detail(e, "result") ?? "");
        if (open) open.answers.push({ at: t, result });
        if (result === "did") close(t);
        break;
      }
      case "cue": case "halt": {
        const halt = book.role(e) === "halt";
        const command = String(book.detail(e, "command") ?? "");
        if (!halt && command === "release") close(t);
        if (!command || book.noTrial.has(command)) {
          if (open && command === "name") open.repeats.push(t);
          break;
        }
        spans = spans.filter((s) => s.end_us === null || s.end_us > t);
        if (open && open.command === command) {
          if (!halt) open.repeats.push(t);
          break;
        }
        if (!halt && isReminder(book, spans, command)) break;
        close(t);
        last = { command, halt, code: e.code, start: t, close: t + book.answerWindow(command), until: Infinity, repeats: [], answers: [] };
        trials.push(last);
        break;
      }
    }
  }
  return trials;
}

/**
 * A cue for what is being worked already, while the dog is out of it.
 * @param {Book} book
 * @param {Event[]} spans that run
 * @param {string} command
 */
function isReminder(book, spans, command) {
  const exercise = spans.find((s) => book.role(s) === "exercise");
  return !!exercise && book.detail(exercise, "command") === command && spans.some((s) => book.role(s) !== "exercise");
}
