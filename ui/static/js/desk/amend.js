// @ts-check
// Changing an event that is there: its edges, its code, its details. Pure; each
// function returns the changed event, or a sentence that says why it can't be.
import { isSpan } from "./spans.js";
import { frameAt, count } from "../shared/frames.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("../shared/frames.js").Frames} Frames */

/**
 * Where an event may stand.
 * @typedef {object} Room
 * @property {Book} book
 * @property {readonly Event[]} events
 * @property {number} duration_us end of the clip
 */

/**
 * @param {Room} room
 * @param {Event} e
 * @param {number} us
 * @returns {Event | string}
 */
export function withStart(room, e, us) {
  if (e.end_us === e.start_us) return fits(room, { ...e, start_us: us, end_us: us });
  if (e.end_us !== null && us >= e.end_us) return "The start has to be before the end.";
  return fits(room, { ...e, start_us: us });
}

/**
 * @param {Room} room
 * @param {Event} e
 * @param {number | null} us null opens the end; the start makes a moment
 * @returns {Event | string}
 */
export function withEnd(room, e, us) {
  const shape = room.book.code(e.code)?.shape;
  if (shape === "moment") return "This code is a moment: it has no end of its own.";
  if (us !== null && us < e.start_us) return "The end has to be after the start.";
  if (us === e.start_us && shape === "span") return "This code is a span: its end has to be after its start.";
  return fits(room, { ...e, end_us: us });
}

/**
 * @param {Room} room
 * @param {Event} e
 * @param {string} id of the new code
 * @returns {Event | string}
 */
export function withCode(room, e, id) {
  const code = room.book.code(id);
  if (!code) return "The book has no such code.";
  const next = { ...e, code: id };
  if (code.shape === "moment") next.end_us = e.start_us;
  if (code.shape === "span" && e.end_us === e.start_us) next.end_us = null;
  const old = room.book.code(e.code);
  if (old && old.role !== code.role && e.details) {
    // What was told of one role says nothing of another.
    const { kind, command, result, channel, device, level, taps, ...rest } = e.details;
    next.details = rest;
  }
  return fits(room, next);
}

/**
 * @param {Room} room
 * @param {Event} e
 * @param {string} name of the detail
 * @param {string | number | null} value null or "" takes it away
 * @returns {Event | string}
 */
export function withDetail(room, e, name, value) {
  const { [name]: _, ...rest } = e.details ?? {};
  const details = value === null || value === "" ? rest : { ...rest, [name]: value };
  const next = { ...e, details };
  if (typeof value === "number" && !(value >= 0)) return "This can't be below 0.";
  if (name === "taps" && value !== null && (!Number.isInteger(value) || Number(value) < 1)) return "Taps are counted from 1.";
  if (name === "level" && typeof value === "number") {
    const most = room.book.rung(String(room.book.detail(next, "channel") ?? ""), room.book.detail(next, "device"))?.level_max;
    if (most !== undefined && value > most) return `The scale ends at ${most}.`;
  }
  return next;
}

/**
 * An event with an edge moved by whole frames, a moment with both.
 * @param {Room} room
 * @param {Event} e
 * @param {"start" | "end"} edge
 * @param {number} frames how many, negative for back
 * @param {Frames | null} table
 * @param {number} frameUs length of a frame where there is no table
 * @returns {Event | string}
 */
export function nudged(room, e, edge, frames, table, frameUs) {
  const moment = e.end_us === e.start_us;
  const from = edge === "start" || moment ? e.start_us : e.end_us;
  if (from === null) return "The end is still open.";
  let us = from + frames * frameUs;
  const n = count(table);
  if (table && n > 0) {
    const k = from >= Math.round(table[n]) ? n : frameAt(table, from + 0.5);
    us = Math.round(table[Math.min(Math.max(k + frames, 0), edge === "end" && !moment ? n : n - 1)]);
  }
  us = Math.min(Math.max(Math.round(us), 0), room.duration_us);
  return edge === "start" || moment ? withStart(room, e, us) : withEnd(room, e, us);
}

/**
 * The event itself if it keeps the rules that need no server, else a sentence.
 * @param {Room} room
 * @param {Event} e
 * @returns {Event | string}
 */
export function fits(room, e) {
  if (e.start_us < 0) return "That is before the clip.";
  if (e.start_us > room.duration_us || (e.end_us !== null && e.end_us > room.duration_us)) return "That is after the clip's end.";
  const lane = room.book.code(e.code)?.lane;
  if (!lane?.exclusive || !isSpan(e)) return e;
  const end = e.end_us ?? Infinity;
  for (const o of room.events) {
    if (o.id === e.id || !isSpan(o) || room.book.code(o.code)?.lane.index !== lane.index) continue;
    if (o.start_us < end && e.start_us < (o.end_us ?? Infinity)) return `“${room.book.nameOf(o)}” runs there already, and in the lane “${lane.name}” only one can.`;
  }
  return e;
}
