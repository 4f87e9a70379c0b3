// @ts-check
// Which labels fit. The plot is a grid of small cells; shapes that must stay
// clear are marked first, then labels are offered in order of importance, each
// with the places and wordings it could take. What finds no free place is
// dropped, never printed over something.

/** @typedef {import("./types.js").Box} Box */

const CELL_W = 2;
const CELL_H = 3;

export class Occupancy {
  /** @param {number} width @param {number} height CSS pixels */
  constructor(width, height) {
    this.columns = Math.max(1, Math.ceil(width / CELL_W));
    this.rows = Math.max(1, Math.ceil(height / CELL_H));
    this.cells = new Uint8Array(this.columns * this.rows);
  }

  /** @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1 */
  mark(x0, y0, x1, y1) {
    const a = Math.max(0, Math.floor(x0 / CELL_W));
    const b = Math.min(this.columns, Math.ceil(x1 / CELL_W));
    if (b <= a) return;
    const last = Math.min(this.rows, Math.ceil(y1 / CELL_H));
    for (let r = Math.max(0, Math.floor(y0 / CELL_H)); r < last; r++) {
      const end = r * this.columns + b;
      for (let c = r * this.columns + a; c < end; c++) this.cells[c] = 1;
    }
  }

  /**
   * Whether nothing marked touches the box; a box that leaves the grid isn't free.
   * @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1
   */
  free(x0, y0, x1, y1) {
    const a = Math.floor(x0 / CELL_W);
    const b = Math.ceil(x1 / CELL_W);
    const r0 = Math.floor(y0 / CELL_H);
    const r1 = Math.ceil(y1 / CELL_H);
    if (a < 0 || r0 < 0 || b > this.columns || r1 > this.rows) return false;
    for (let r = r0; r < r1; r++) {
      for (let c = r * this.columns + a; c < r * this.columns + b; c++) if (this.cells[c]) return false;
    }
    return true;
  }
}

/**
 * @typedef {object} Place
 * @property {string} text
 * @property {number} x left end
 * @property {number} y baseline
 * @property {number} width
 */

/**
 * Takes the first of the places that is free and lies within [left, right], and
 * marks it with a little air around; null if there is none.
 * @param {Occupancy} grid
 * @param {Iterable<Place>} places
 * @param {{ascent: number, descent: number, left: number, right: number, air?: number}} box
 * @returns {Place | null}
 */
export function place(grid, places, { ascent, descent, left, right, air = 3 }) {
  for (const p of places) {
    if (p.x < left || p.x + p.width > right) continue;
    if (!grid.free(p.x, p.y - ascent, p.x + p.width, p.y + descent)) continue;
    grid.mark(p.x - air, p.y - ascent, p.x + p.width + air, p.y + descent);
    return p;
  }
  return null;
}

/**
 * Where a text of this width goes to stand in the middle of [x0, x1], kept inside
 * [left, right].
 * @param {number} x0 @param {number} x1 @param {number} width @param {number} left @param {number} right
 */
export function centred(x0, x1, width, left, right) {
  const middle = (Math.max(x0, left) + Math.min(x1, right)) / 2;
  return Math.min(Math.max(middle - width / 2, left), right - width);
}

/**
 * The text cut with an ellipsis to at most `room`; "" if not even three letters
 * would be left.
 * @param {string} text @param {number} room @param {(s: string) => number} measure
 */
export function shorten(text, room, measure) {
  if (measure(text) <= room) return text;
  let low = 0;
  let high = text.length;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (measure(text.slice(0, mid).trimEnd() + "…") <= room) low = mid;
    else high = mid - 1;
  }
  return low < 3 ? "" : text.slice(0, low).trimEnd() + "…";
}
