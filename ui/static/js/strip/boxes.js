// @ts-check
// The boxes that events take up on the strip, in pixels: what a click meets, what
// a selection frames, where the edges lie.
import { errorBand } from "./rows.js";
import { trackName } from "./scene.js";

/** @typedef {import("./types.js").Item} Item */
/** @typedef {import("./types.js").Box} Box */
/** @typedef {import("./rows.js").Rows} Rows */
/** @typedef {import("./view.js").Scale} Scale */

/**
 * The boxes of an item, most events have one. A moment's is as wide as its
 * shape; an open span runs to `now`, or a stub from its start if that is later.
 * @param {Item} item
 * @param {Rows} rows
 * @param {Scale} scale
 * @param {number} now
 * @returns {Box[]}
 */
export function boxesOf(item, rows, scale, now) {
  const s = rows.scale;
  const moment = item.end === item.start;
  const x = scale.near(item.start, 40);
  const x1 = moment ? x : item.open ? openEnd(item, scale, now, s) : scale.near(item.end, 40);
  /** @param {number} y @param {number} h @param {number} w half the width of a moment */
  const at = (y, h, w = 5) => (moment ? { x0: x - w * s, x1: x + w * s, y0: y - h * s, y1: y + h * s } : { x0: x, x1, y0: y - h * s, y1: y + h * s });
  switch (trackName(item)) {
    case "heel": return [at(rows.leg, 5)];
    case "stays": return [{ x0: x, x1, y0: rows.leg - rows.half, y1: rows.leg + rows.half }];
    case "others": return [at(rows.leg, 6)];
    case "errors": {
      const [y0, y1] = errorBand(rows, item.kind);
      return [{ x0: x, x1, y0, y1 }];
    }
    case "offTask": return [at(rows.leg, 5)];
    case "breaks": return [{ ...at(rows.leg, 0, 6), y0: rows.leg - rows.half, y1: rows.leg + rows.half * 0.6 }];
    case "cues":
    case "answers": return [at(rows.cue, 8)];
    case "moves": return item.role === "halt" && item.command ? [at(rows.moves, 7, 6), at(rows.cue, 8)] : [at(rows.moves, 7, 7)];
    case "rewards": return [at(rows.rewards, 6)];
    case "help": return [at(rows.ground, 5)];
    case "pressure": {
      const y = rows.rungs[Math.min(item.rank, rows.rungs.length - 1)];
      const stem = { x0: x - 5 * s, x1: x + 5 * s, y0: rows.ground, y1: y + 6 * s };
      return moment ? [stem] : [{ x0: x, x1, y0: y - 5 * s, y1: y + 5 * s }, stem];
    }
    case "distractions":
    case "hidden": return [{ x0: x, x1, y0: rows.top, y1: rows.behindLabel + 3 * s }];
    case "context": {
      const y = rows.context.find((c) => c.lane === item.lane)?.y ?? 0;
      return y ? [at(y, 6)] : [];
    }
    default: return rows.signs ? [at(rows.signs, 7, 6)] : [];
  }
}

/**
 * The pixel up to which an open span is drawn.
 * @param {Item} item
 * @param {Scale} scale
 * @param {number} now
 * @param {number} s
 */
export function openEnd(item, scale, now, s) {
  return now > item.start ? scale.near(now, 40) : Math.min(scale.near(item.start, 40) + 14 * s, scale.right + 40);
}

// Spans that lie behind others are met last, whatever their length.
const BEHIND = new Set(["hidden", "distraction"]);

/**
 * The item at a point: of moments the nearest; else of spans the shortest. Null
 * if there is nothing.
 * @param {Iterable<Item>} items candidates
 * @param {number} x
 * @param {number} y
 * @param {number} slop pixels by which a box may be missed
 * @param {{rows: Rows, scale: Scale, now: number}} on
 * @returns {Item | null}
 */
export function hit(items, x, y, slop, on) {
  /** @type {Item | null} */
  let best = null;
  let least = Infinity;
  for (const item of items) {
    const moment = item.end === item.start;
    for (const b of boxesOf(item, on.rows, on.scale, on.now)) {
      const dx = Math.max(b.x0 - x, 0, x - b.x1);
      const dy = Math.max(b.y0 - y, 0, y - b.y1);
      if (dx > slop || dy > slop) continue;
      const miss = dx + dy;
      const length = item.open ? 1e15 : item.end - item.start;
      // Any moment comes before any span, a true hit before a near one.
      const cost = moment ? miss + Math.abs((b.x0 + b.x1) / 2 - x) / 1e3 : 1e3 + miss * 1e3 + Math.log1p(length) + (BEHIND.has(item.role) ? 500 : 0);
      if (cost < least) {
        least = cost;
        best = item;
      }
    }
  }
  return best;
}

/** @typedef {{item: Item, edge: "start" | "end" | "both"}} Grip */

/**
 * The edge of a selected item at a point; "both" for a moment, which moves as a
 * whole. The end of an open span can't be taken. Null if there is none.
 * @param {Iterable<Item>} selected
 * @param {number} x
 * @param {number} y
 * @param {number} slop
 * @param {{rows: Rows, scale: Scale, now: number}} on
 * @returns {Grip | null}
 */
export function grip(selected, x, y, slop, on) {
  /** @type {Grip | null} */
  let best = null;
  let least = slop;
  for (const item of selected) {
    for (const b of boxesOf(item, on.rows, on.scale, on.now)) {
      if (y < b.y0 - slop || y > b.y1 + slop) continue;
      if (item.end === item.start) {
        const dx = Math.max(b.x0 - x, 0, x - b.x1);
        if (dx < least) [best, least] = [{ item, edge: "both" }, dx];
        continue;
      }
      for (const edge of /** @type {const} */ (["start", "end"])) {
        if (edge === "end" && item.open) continue;
        const t = item[edge];
        if (t < on.scale.from - 1 || t > on.scale.to + 1) continue;
        const dx = Math.abs(on.scale.x(t) - x);
        if (dx < least) [best, least] = [{ item, edge }, dx];
      }
    }
  }
  return best;
}
