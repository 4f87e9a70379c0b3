// @ts-check
// All that the strip draws of the raw events, sorted into tracks, with the sets
// of time that the dog's line needs. No pixels yet, so it is built once for each
// change of the events, not for each view.
import { Track } from "./track.js";
import { union, intersect, subtract, cut } from "./intervals.js";

/** @typedef {import("./types.js").Item} Item */
/** @typedef {import("./types.js").Interval} Interval */
/** @typedef {import("./types.js").StripEvent} StripEvent */
/** @typedef {import("./types.js").View} View */

/** @typedef {{start: number, end: number, kind: string}} Piece a part of an error */

/** The track of each role. Exercises go by kind, see below. */
const TRACK_OF = /** @type {const} */ ({
  error: "errors", off_task: "offTask", cue: "cues", release: "cues", heard: "answers", answer: "answers",
  break: "breaks", pressure: "pressure", help: "help", reward: "rewards", offered: "signs", stress: "signs", remark: "signs",
  turn: "moves", pace: "moves", halt: "moves", distraction: "distractions", line: "context", handler: "context", hidden: "hidden",
});

const NAMES = ["heel", "stays", "others", "errors", "offTask", "cues", "answers", "breaks", "pressure", "help", "rewards",
  "signs", "moves", "distractions", "context", "hidden"];

/**
 * @typedef {object} Scene
 * @property {Map<string, Item>} byId
 * @property {Record<string, Track<Item>>} tracks closed events, by the names above
 * @property {Item[]} open open spans, by start
 * @property {Track<Piece>} steps parts of ahead and behind in which one of them holds; the later start wins
 * @property {{steps: Track<Piece>, bands: Track<Piece>}} inside what of the errors lies in seen heel work and so
 *   counts; bands are wide, crowding and own kinds
 * @property {{steps: Track<Piece>, bands: Track<Piece>}} outside what of them lies in no heel work, seen
 * @property {Interval[]} solid where the dog's line is drawn whole: closed heel work, seen, on task
 * @property {Interval[]} dotted where it is dotted: closed heel work, seen, off task
 * @property {Interval[]} loose off-task time outside heel work, seen
 * @property {Interval[]} heel heel work that was seen; open one to the clip's end
 * @property {Interval[]} hidden an open one to the clip's end
 * @property {Interval[]} off off-task time whose end is known
 */

/**
 * @param {import("./book.js").Book} book
 * @param {StripEvent[]} events in any order; those of unknown codes are left out
 * @param {View} clip
 * @returns {Scene}
 */
export function buildScene(book, events, clip) {
  /** @type {Record<string, Item[]>} */
  const lists = Object.fromEntries(NAMES.map((name) => [name, []]));
  const byId = new Map();
  /** @type {Item[]} */
  const open = [];
  for (const e of events) {
    const item = book.item(e);
    if (!item) continue;
    byId.set(item.id, item);
    if (item.open) open.push(item);
    else (lists[trackName(item)] ?? lists.signs).push(item);
  }
  open.sort((a, b) => a.start - b.start);

  const spans = (/** @type {string} */ name) => lists[name].map((i) => /** @type {Interval} */ ([i.start, i.end]));
  const openOf = (/** @type {string} */ name) =>
    open.filter((i) => trackName(i) === name).map((i) => /** @type {Interval} */ ([i.start, Math.max(clip.to, i.start)]));
  const hidden = union([...spans("hidden"), ...openOf("hidden")]);
  const closedHeel = subtract(union(spans("heel")), hidden);
  const heel = subtract(union([...spans("heel"), ...openOf("heel")]), hidden);
  // What is still open runs through heel work that was closed after it began.
  const throughClosed = (/** @type {string} */ name) =>
    open.filter((i) => trackName(i) === name).flatMap((i) => cut(closedHeel, i.start, clip.to).map(([start, end]) => ({ start, end, kind: i.kind })));
  const off = union([...spans("offTask"), ...throughClosed("offTask").map((p) => /** @type {Interval} */ ([p.start, p.end]))]);
  const errors = [...lists.errors, ...throughClosed("errors")];
  const steps = stepsOf(errors);
  const bands = errors.filter((i) => !isStep(i.kind)).map(({ start, end, kind }) => ({ start, end, kind }));
  const rest = subtract([[-Infinity, Infinity]], union([...heel, ...hidden]));
  const within = (/** @type {Interval[]} */ set) => ({ steps: new Track(partsIn(steps, set)), bands: new Track(partsIn(bands, set)) });
  return {
    byId, open, hidden, heel, off,
    tracks: Object.fromEntries(NAMES.map((name) => [name, new Track(lists[name])])),
    steps: new Track(steps),
    inside: within(heel),
    outside: within(rest),
    solid: subtract(closedHeel, off),
    dotted: intersect(closedHeel, off),
    loose: subtract(subtract(off, hidden), heel),
  };
}

/**
 * The track an item belongs to, by its role.
 * @param {Item} item
 */
export function trackName(item) {
  if (item.role === "exercise") {
    if (item.kind === "heel") return "heel";
    return item.kind === "stay" || item.kind === "place" ? "stays" : "others";
  }
  return TRACK_OF[/** @type {keyof typeof TRACK_OF} */ (item.role)] ?? "signs";
}

/** @param {string} kind whether it steps the dog's line off */
export const isStep = (kind) => kind === "ahead" || kind === "behind";

/**
 * The parts of the pieces that lie in a set.
 * @param {Piece[]} pieces
 * @param {Interval[]} set
 */
function partsIn(pieces, set) {
  /** @type {Piece[]} */
  const out = [];
  for (const p of pieces) {
    for (const [start, end] of cut(set, p.start, p.end)) out.push({ start, end, kind: p.kind });
  }
  return out;
}

/**
 * Ahead and behind as parts that don't overlap. They exclude each other in most
 * books; where they don't, the dog's line follows what began last.
 * @param {Piece[]} errors
 * @returns {Piece[]} by start
 */
function stepsOf(errors) {
  const sorted = errors.filter((i) => isStep(i.kind)).sort((a, b) => a.start - b.start || a.end - b.end);
  /** @type {Piece[]} */
  const out = [];
  /** @type {Piece[]} */
  const under = []; // earlier spans that go on behind the newest, newest last
  const resume = (/** @type {number} */ until) => {
    while (under.length > 0 && out.length > 0 && out[out.length - 1].end < until) {
      const from = out[out.length - 1].end;
      const back = under[under.length - 1];
      if (back.end <= from) under.pop();
      else out.push({ start: from, end: Math.min(back.end, until), kind: back.kind });
    }
  };
  for (const { start, end, kind } of sorted) {
    resume(start);
    const last = out[out.length - 1];
    if (last && last.end > start) {
      under.push({ ...last });
      last.end = start;
      if (last.end <= last.start) out.pop();
    }
    out.push({ start, end, kind });
  }
  resume(Infinity);
  return out;
}
