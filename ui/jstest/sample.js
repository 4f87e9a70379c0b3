// @ts-check
// A reading to look at: 64 s of Tansy at Alder Lane, invented. Times in seconds
// here, µs outside. The measures are written by hand for these events.

/** @param {number} s */
const us = (s) => Math.round(s * 1e6);

let n = 0;
/**
 * @param {string} code @param {number} start @param {number | null} [end] @param {object} [details] @param {string} [note]
 */
const event = (code, start, end = start, details = {}, note = "") => ({
  id: `e${String(++n).padStart(3, "0")}`, code, start_us: us(start), end_us: end === null ? null : us(end), details, note, rev: 1,
});

export const clip = { start_us: 0, duration_us: us(64) };

/** 30 frames a second. */
export const frames = Float64Array.from({ length: 64 * 30 + 1 }, (_, k) => Math.round((k * 1e6) / 30));

export const events = [
  event("heel", 1.2), event("did", 1.8), event("ex-heel", 1.5, 21.5),
  event("behind", 4.6, 6.9), event("tone", 5.6, 5.6, { taps: 2 }), event("praise", 6.9),
  event("turn", 10.6, 10.6, { kind: "left" }), event("ahead", 11.2, 12.6),
  event("turn", 15.6, 15.6, { kind: "right" }), event("behind", 16.0, 19.4), event("tone", 17.2), event("stim", 18.6, 18.6, { level: 9 }), event("praise", 19.9),
  event("halt", 21.5), event("did", 22.4), event("ex-sit", 22.3, 33.4), event("marker", 23.4), event("paid", 24.0),
  event("distraction", 23.5, 31.0, { kind: "vehicle", distance_m: 6 }, "bicycle"), event("at-ease", 27.2, 27.2, { kind: "settles" }),
  event("down", 33.9), event("voice", 35.1), event("no-answer", 36.6), event("down", 36.8), event("did", 37.4),
  event("ex-down", 37.4, 52.2), event("praise", 38.2),
  event("distraction", 45.0, 52.0, { kind: "toy" }, "ball"), event("broke", 46.3, 49.1, { kind: "got up" }), event("voice", 47.1),
  event("leash-guide", 48.1, 49.4), event("stress", 49.6, 49.6, { kind: "lip lick" }),
  event("heel", 52.3), event("heard", 52.8), event("did", 53.4), event("ex-heel", 53.4, 62.2), event("paid", 53.9),
  event("wide", 55.0, 56.6), event("off-task", 54.6, 57.2, { kind: "scent" }), event("behind", 57.2, 58.6), event("body", 57.9), event("praise", 59.0),
  event("crowding", 60.1, 61.3), event("release", 62.2), event("ex-free", 62.2, 64.0), event("remark", 60.6, 60.6, {}, "leans in when the path narrows"),
];

const trial = (/** @type {string} */ command, /** @type {number} */ a, /** @type {number} */ b, /** @type {string} */ grade, /** @type {string} */ first, /** @type {number | null} */ latency) =>
  ({ command, start_us: us(a), end_us: us(b), grade, first_answer: first, latency_s: latency, heard_s: null, repeats: 0, pressure: [] });
const occasion = (/** @type {string} */ kind, /** @type {number} */ a, /** @type {number} */ b) =>
  ({ kind, start_us: us(a), end_us: us(b), resolved: true, steps: [], moves: [], response_s: null });

export const measures = {
  cues: { trials: [trial("heel", 1.2, 1.8, "clean", "did", 0.6), trial("halt:sit", 21.5, 22.4, "clean", "did", 0.9), trial("down", 33.9, 37.4, "helped", "none", 3.5), trial("heel", 52.3, 53.4, "clean", "did", 1.1)] },
  pressure: { occasions: [occasion("error", 4.6, 6.9), occasion("error", 11.2, 12.6), occasion("error", 16, 19.4), occasion("break", 46.3, 49.1),
    occasion("off_task", 54.6, 57.2), occasion("error", 55, 58.6), occasion("error", 60.1, 61.3)] },
};

export const window64 = { start_us: 0, end_us: us(64) };
