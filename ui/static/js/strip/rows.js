// @ts-check
// Where each row of the strip lies, top to bottom. All lengths in CSS pixels.

/** How far an error steps the dog's line off. Depth isn't coded: one for all. */
const DEPTH = 18;

/**
 * @typedef {object} Rows
 * @property {number} width
 * @property {number} height
 * @property {number} scale letters and rows grow with the reader's letter size
 * @property {number} left first pixel of the plot
 * @property {number} right last pixel of the plot
 * @property {boolean} named whether there is room for the names of the rows
 * @property {number} overview centre of the overview bar
 * @property {number} axis baseline of the time labels
 * @property {number} ticks top of the ticks
 * @property {number} top where hatching and blanks begin
 * @property {number} behindLabel baseline of distraction labels
 * @property {number} cueLabel baseline of cue names
 * @property {number} cue centre of whiskers and answers
 * @property {number} above baseline of labels above the leg
 * @property {number} moves centre of the handler's own movements
 * @property {number} leg the middle line
 * @property {number} depth
 * @property {number} half half the height of a stay's bar
 * @property {number} below baseline of labels under the leg
 * @property {number} rewards centre
 * @property {number} ground where pressure hangs from
 * @property {number[]} rungs centre of each rank's rung; index 0 is the ground
 * @property {number} bottom where hatching and blanks end
 * @property {number} signs centre of stress signs, ease and remarks; 0 if not drawn
 * @property {{lane: string, y: number}[]} context centres of the rows for line and handler
 * @property {1 | -1} outside 1 if the outside of the dog lies below the leg, -1 above
 */

/**
 * @param {{width: number, scale?: number, rankMax: number, side: "left" | "right", signs: boolean, context: string[]}} given
 *   width in CSS pixels; context names the lanes that get a row of their own
 * @returns {Rows}
 */
export function layoutRows({ width, scale = 1, rankMax, side, signs, context }) {
  const named = width >= 600 * scale;
  const left = named ? (width >= 960 * scale ? 108 : 84) * scale : 14;
  const s = (/** @type {number} */ n) => Math.round(n * scale);
  const ground = s(150);
  const space = rankMax > 8 ? 8 : 10;
  const rungs = [ground];
  for (let r = 1; r <= Math.max(rankMax, 1); r++) rungs.push(ground + s(12 + space * (r - 1)));
  const bottom = rungs[rungs.length - 1] + s(8);
  let y = bottom;
  const signsY = signs ? y + s(13) : 0;
  if (signs) y += s(23);
  const rows = context.map((lane) => ({ lane, y: (y += s(15)) - s(5) }));
  return {
    width, scale, named, left, right: Math.max(width - 14 * scale, left + 1), height: y + s(5),
    overview: s(3), axis: s(19), ticks: s(23), top: s(30), behindLabel: s(41),
    cueLabel: s(56), cue: s(67), above: s(87), moves: s(83), leg: s(110), depth: s(DEPTH), half: s(11),
    below: s(141), rewards: s(137), ground, rungs, bottom, signs: signsY, context: rows,
    outside: side === "right" ? 1 : -1,
  };
}

/**
 * Top and bottom of an error's shape: a step by the full depth for ahead and
 * behind, a bar clear of the leg for wide, one against it for crowding, one
 * across it for a kind of the user's own.
 * @param {Rows} rows
 * @param {string} kind
 * @returns {[number, number]}
 */
export function errorBand(rows, kind) {
  const s = rows.scale;
  const at = (/** @type {number} */ side, /** @type {number} */ near, /** @type {number} */ far) => {
    const a = rows.leg + side * near * s;
    const b = rows.leg + side * far * s;
    return /** @type {[number, number]} */ ([Math.min(a, b), Math.max(a, b)]);
  };
  switch (kind) {
    case "ahead": return [rows.leg - rows.depth, rows.leg];
    case "behind": return [rows.leg, rows.leg + rows.depth];
    case "wide": return at(rows.outside, 7, 13);
    case "crowding": return at(-rows.outside, 0, 7);
    default: return [rows.leg - 4 * s, rows.leg + 4 * s];
  }
}

/**
 * Whether an error of this kind is labelled above the leg.
 * @param {Rows} rows
 * @param {string} kind
 */
export function labelledAbove(rows, kind) {
  if (kind === "wide") return rows.outside < 0;
  if (kind === "crowding") return rows.outside > 0;
  return kind !== "behind";
}
