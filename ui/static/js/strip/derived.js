// @ts-check
// What the strip draws of the measures: whiskers of trials and lengths of bouts.
// Nothing here is computed anew: lengths and latencies are those of the reply.
// Without measures there are no whiskers, and lengths are those of the raw events.
import { Track } from "./track.js";
import { secondsLabel } from "../shared/time.js";

/** @typedef {import("./scene.js").Scene} Scene */

/**
 * @typedef {object} Whisker
 * @property {number} start the cue or halt
 * @property {number} end the answer, or where the trial closed without one
 * @property {boolean} answered
 * @property {boolean} lapsed whether it ran out with no answer coded: a fault
 */

/**
 * @typedef {object} Length
 * @property {number} start
 * @property {number} end
 * @property {string} kind "off-task", or the kind of an error ("" for several kinds in one bout)
 * @property {string} word in front of the seconds, "" for none
 * @property {string} seconds 2.3
 * @property {boolean} raw of an event, not of a bout of the reply
 */

/** @typedef {{whiskers: Track<Whisker>, lengths: Track<Length>}} Derived */

/**
 * @param {any} measures measures.md section 11, or null
 * @param {Scene} scene the events that the measures belong to
 * @returns {Derived}
 */
export function derive(measures, scene) {
  const trials = measures?.cues?.trials ?? [];
  const occasions = measures?.pressure?.occasions;
  return {
    whiskers: new Track(trials.map((/** @type {any} */ t) => whisker(t, scene))),
    lengths: new Track(occasions ? bouts(occasions, scene) : raws(scene)),
  };
}

/** @param {any} trial @param {Scene} scene @returns {Whisker} */
function whisker(trial, scene) {
  const start = trial.start_us;
  if (typeof trial.latency_s === "number") {
    return { start, end: start + trial.latency_s * 1e6, answered: true, lapsed: false };
  }
  let last = NaN;
  scene.tracks.answers.each(start, trial.end_us, (a) => {
    if (a.role === "answer" && a.start < trial.end_us) last = a.start;
  });
  if (!Number.isNaN(last)) return { start, end: last, answered: true, lapsed: false };
  return { start, end: trial.end_us, answered: false, lapsed: trial.grade === "no-answer" };
}

/** @param {any[]} occasions @param {Scene} scene @returns {Length[]} */
function bouts(occasions, scene) {
  /** @type {Length[]} */
  const out = [];
  for (const o of occasions) {
    if (o.kind !== "error" && o.kind !== "off_task") continue;
    let kind = o.kind === "off_task" ? "off-task" : null;
    let word = "";
    let running = false;
    const track = o.kind === "error" ? scene.tracks.errors : scene.tracks.offTask;
    track.each(o.start_us, o.end_us, (i) => {
      if (i.start >= o.end_us || i.end <= o.start_us) return;
      if (o.kind === "off_task") word = i.kind || "off-task";
      else if (kind === null || kind === i.kind) kind = i.kind;
      else kind = "";
    });
    for (const i of scene.open) if (i.role === o.kind && i.start < o.end_us) running = true;
    if (!running) out.push(length(o.start_us, o.end_us, kind ?? "", word, false));
  }
  return out;
}

/** @param {Scene} scene @returns {Length[]} */
function raws(scene) {
  return [
    ...scene.tracks.errors.items.map((i) => length(i.start, i.end, i.kind, "", true)),
    ...scene.tracks.offTask.items.map((i) => length(i.start, i.end, "off-task", i.kind || "off-task", true)),
  ];
}

/**
 * @param {number} start @param {number} end @param {string} kind @param {string} word @param {boolean} raw
 * @returns {Length}
 */
function length(start, end, kind, word, raw) {
  // The shape and the row say ahead and behind; the other kinds are named.
  if (kind !== "off-task") word = kind === "ahead" || kind === "behind" ? "" : kind;
  return { start, end, kind, word, seconds: secondsLabel(end - start), raw };
}
