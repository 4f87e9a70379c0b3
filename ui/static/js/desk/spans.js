// @ts-check
// Spans on and off at a time. A span runs at t if start <= t < end, or if it is
// open and start <= t; what runs is read from the events alone, so it is the same
// after a jump, a reload or another page's edit.

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./book.js").Code} Code */
/** @typedef {import("./draft.js").Draft} Draft */

/** @param {Event} e @param {number} t */
export const runsAt = (e, t) => e.start_us <= t && (e.end_us === null || t < e.end_us);

/** @param {Event} e */
export const isSpan = (e) => e.end_us === null || e.end_us > e.start_us;

/**
 * The running spans of which `want` holds, the one that started last first.
 * @param {Iterable<Event>} events
 * @param {number} t
 * @param {(e: Event) => boolean} want
 */
export function running(events, t, want) {
  const found = [];
  for (const e of events) if (isSpan(e) && runsAt(e, t) && want(e)) found.push(e);
  return found.sort((a, b) => b.start_us - a.start_us || (a.id < b.id ? 1 : -1));
}

/**
 * The exercise that runs at t.
 * @param {Iterable<Event>} events
 * @param {Book} book
 * @param {number} t
 * @returns {Event | undefined}
 */
export const exerciseAt = (events, book, t) => running(events, t, (e) => book.role(e) === "exercise")[0];

/**
 * Ends a span at t; one that would be left without length is removed.
 * @param {Draft} draft
 * @param {Event} e
 * @param {number} t
 */
export function endSpan(draft, e, t) {
  if (t <= e.start_us) draft.remove(e.id);
  else draft.put({ ...e, end_us: t });
}

/**
 * Starts a span of a code at t. In an exclusive lane what runs ends at t, and the
 * new span takes over from it to where it would have ended, at most to the start
 * of the next span of the lane. Otherwise it stays open.
 * @param {Draft} draft
 * @param {Book} book
 * @param {Code} code
 * @param {number} t
 * @param {string} id
 * @param {Record<string, any>} [details]
 * @returns {Event}
 */
export function startSpan(draft, book, code, t, id, details) {
  /** @type {number | null} */
  let end = null;
  if (code.lane.exclusive) {
    const inLane = (/** @type {Event} */ e) => book.code(e.code)?.lane.index === code.lane.index;
    for (const e of running(draft.all(), t, inLane)) {
      end = e.end_us;
      endSpan(draft, e, t);
    }
    for (const e of draft.all()) {
      if (inLane(e) && isSpan(e) && e.start_us > t && (end === null || e.start_us < end)) end = e.start_us;
    }
  }
  /** @type {Event} */
  const e = { id, code: code.id, start_us: t, end_us: end, ...(details && { details }) };
  draft.put(e);
  return e;
}

/**
 * Changes the running exercise at t: to a span of `code`, or to none. What only
 * exists within the old one and is still open ends with it: being out of position
 * with heel work, a break with its stay.
 * @param {Draft} draft
 * @param {Book} book
 * @param {Code | null} code
 * @param {number} t
 * @param {() => string} newId
 * @returns {Event | null} the new exercise; null if there is none, or it runs already
 */
export function changeExercise(draft, book, code, t, newId) {
  const before = exerciseAt(draft.all(), book, t);
  if (before && code && before.code === code.id) return null;
  let after = null;
  if (code) after = startSpan(draft, book, code, t, newId());
  else if (before) endSpan(draft, before, t);
  const kind = before && book.detail(before, "kind");
  if (kind === "heel" && code?.kind !== "heel") endOpen(draft, book, "error", t);
  if (kind === "stay" || kind === "place") endOpen(draft, book, "break", t);
  return after;
}

/** @param {Draft} draft @param {Book} book @param {string} role @param {number} t */
function endOpen(draft, book, role, t) {
  for (const e of running(draft.all(), t, (e) => e.end_us === null && book.role(e) === role)) endSpan(draft, e, t);
}
