// @ts-check
// Short words for an event, for rows, announcements and dialogs.
import { timeLabel, secondsLabel } from "../shared/time.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./book.js").Book} Book */

/**
 * What an event tells beside its name: kind, level, taps, distance and so on.
 * @param {Book} book
 * @param {Event} e
 */
export function detailsOf(book, e) {
  const d = e.details ?? {};
  const code = book.code(e.code);
  const parts = [];
  if (d.kind && d.kind !== code?.kind) parts.push(d.kind);
  for (const name of ["posture", "command", "mode", "result", "who"]) if (d[name]) parts.push(d[name]);
  if (d.level !== undefined) parts.push(String(d.level));
  if (d.taps > 1) parts.push(`×${d.taps}`);
  if (d.channel) parts.push(d.channel);
  if (d.device) parts.push(d.device);
  if (d.planned_s !== undefined) parts.push(`planned ${d.planned_s} s`);
  if (d.handler_m !== undefined) parts.push(`handler ${d.handler_m} m`);
  if (d.distance_m !== undefined) parts.push(`${d.distance_m} m`);
  return parts.join(", ");
}

/**
 * @param {Event} e its length: "3.4 s", "on" while open, "" for a moment
 * @param {number} [digits] decimals of the second
 */
export function lengthOf(e, digits = 1) {
  if (e.end_us === null) return "on";
  return e.end_us > e.start_us ? `${secondsLabel(e.end_us - e.start_us, digits)} s` : "";
}

/**
 * An event in one line: "0:16.0 behind, 3.4 s".
 * @param {Book} book
 * @param {Event} e
 * @param {number} [digits] decimals of the second; 3 tell a frame from the next
 */
export function lineOf(book, e, digits = 1) {
  const details = detailsOf(book, e);
  const length = lengthOf(e, digits);
  return `${timeLabel(e.start_us, digits)} ${book.nameOf(e)}${details && ` ${details}`}${length && `, ${length}`}${e.note ? ` (${e.note})` : ""}`;
}
