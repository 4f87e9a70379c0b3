// @ts-check
// How far the edge of an event may be dragged, and where it lands.
import { snap, frameAt, count } from "../shared/frames.js";

/** @typedef {import("./types.js").Item} Item */
/** @typedef {import("../shared/frames.js").Frames} Frames */

/** Shortest span where there is no frame table, µs. */
const SHORTEST = 1e3;

/**
 * Times that an edge may take, both included: inside the clip, on its own side of
 * the other edge, and in an exclusive lane not over a neighbour.
 * @param {Item} item
 * @param {"start" | "end" | "both"} edge
 * @param {Iterable<Item>} others all items, the item itself among them or not
 * @param {{from: number, to: number}} clip
 * @returns {[number, number]}
 */
export function edgeLimits(item, edge, others, clip) {
  let low = clip.from;
  let high = clip.to;
  if (edge === "start" && !item.open) high = Math.min(high, item.end);
  if (edge === "end") low = Math.max(low, item.start);
  if (item.exclusive && item.end > item.start) {
    for (const o of others) {
      if (o.id === item.id || o.lane !== item.lane || o.end <= o.start) continue;
      if (edge === "start" && o.end <= item.start) low = Math.max(low, o.end);
      if (edge === "start" && item.open && o.start >= item.start) high = Math.min(high, o.start);
      if (edge === "end" && o.start >= item.end) high = Math.min(high, o.start);
    }
  }
  return [low, Math.max(low, high)];
}

/**
 * Start and end after an edge is dragged to us: on a frame's start (the end of
 * the clip for an end), within the limits, a span at least one frame long. Open
 * spans stay open (end null).
 * @param {Item} item
 * @param {"start" | "end" | "both"} edge
 * @param {number} us
 * @param {[number, number]} limits
 * @param {Frames | null} frames
 * @returns {{start_us: number, end_us: number | null}}
 */
export function dragged(item, edge, us, [low, high], frames) {
  const kept = { start_us: item.start, end_us: item.open ? null : item.end };
  let t = snap(frames, Math.min(Math.max(us, low), high));
  if (t < low) t = after(frames, low);
  if (t > high) t = before(frames, high + 1);
  if (edge === "both") return { start_us: t, end_us: t };
  if (edge === "start") {
    if (!item.open && t >= item.end) t = before(frames, item.end);
    return t < low || (!item.open && t >= item.end) ? kept : { start_us: t, end_us: kept.end_us };
  }
  if (t <= item.start) t = after(frames, item.start);
  return t > high || t <= item.start ? kept : { start_us: item.start, end_us: t };
}

/** @param {Frames | null} frames @param {number} us the last frame start before us */
function before(frames, us) {
  const k = frameAt(frames, us - 1);
  return frames && k >= 0 ? Math.round(frames[k]) : us - SHORTEST;
}

/** @param {Frames | null} frames @param {number} us the first frame start, or end of the clip, after us */
function after(frames, us) {
  const k = frameAt(frames, us);
  if (!frames || k < 0) return us + SHORTEST;
  return Math.round(frames[Math.min(us < frames[k] ? k : k + 1, count(frames))]);
}
