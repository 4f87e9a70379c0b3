// @ts-check
// The shapes that the modules of the strip hand to each other, and the names of
// the events that the strip sends.

/** Names of the CustomEvents on the strip's root. */
export const SEEK = "strip-seek"; // {us}
export const SELECT = "strip-select"; // {ids, add}
export const EDGE = "strip-edge"; // {id, edge, start_us, end_us, done, cancelled?}
export const VIEW = "strip-view"; // {from_us, to_us}

/**
 * An event of a reading as the server sends it.
 * @typedef {object} StripEvent
 * @property {string} id
 * @property {string} code
 * @property {number} start_us
 * @property {number | null} end_us null while open; equal to start_us for a moment
 * @property {Record<string, any> | null} [details]
 * @property {string | null} [note]
 */

/**
 * An event made ready for drawing: its code looked up, its details filled in.
 * @typedef {object} Item
 * @property {string} id
 * @property {string} role
 * @property {string} name of the code
 * @property {string} lane name of the lane
 * @property {boolean} exclusive whether spans of the lane exclude each other
 * @property {number} start
 * @property {number} end equal to start for a moment, Infinity while open
 * @property {boolean} open
 * @property {string} kind "" if it has none
 * @property {string} look role and kind: what decides the shape of most moments
 * @property {string} command "" if it has none
 * @property {string} result of an answer
 * @property {string} posture of an exercise
 * @property {string} channel of pressure
 * @property {string} called what pressure is called beside its level: its code's name without what stands behind a comma or in brackets
 * @property {number} level NaN if not given
 * @property {number} taps 0 if not given
 * @property {number} rank of pressure on the ladder, from 1; 0 otherwise
 * @property {boolean} helps pressure whose rank counts as help
 * @property {number} distance metres, NaN if not given
 * @property {string} note
 */

/** @typedef {{from: number, to: number}} View µs at the left and right end */

/** @typedef {[number, number]} Interval half-open, µs or pixels */

/** @typedef {{x0: number, y0: number, x1: number, y1: number}} Box CSS pixels */
