// @ts-check
// A table of four frames of 40, 20, 33.3 and 40 ms; values worked by hand.
import { test, equal } from "./assert.js";
import { count, frameAt, nearestFrame, midpoint, snap } from "/assets/js/shared/frames.js";

const frames = Float64Array.of(66700, 106700, 126700, 160000, 200000);

test("count", () => {
  equal(count(frames), 4);
  equal(count(Float64Array.of(0, 40000)), 1);
  equal([count(null), count(new Float64Array(0)), count(Float64Array.of(0))], [0, 0, 0], "no frames");
});

test("the frame on the screen at a time", () => {
  for (const [us, want] of [[0, 0], [66700, 0], [106699.9, 0], [106700, 1], [126699, 1], [126700, 2], [159999, 2], [160000, 3], [199999, 3], [200000, 3], [9e9, 3]])
    equal(frameAt(frames, us), want, `frameAt(${us})`);
  equal(frameAt(null, 5), -1, "without a table");
});

test("the frame that a mediaTime names", () => {
  // mediaTime may be 1 µs off on either side.
  for (const [us, want] of [[66699, 0], [106699, 1], [106701, 1], [116699, 1], [116700, 1], [116701, 2], [159999, 3], [160001, 3], [250000, 3]])
    equal(nearestFrame(frames, us), want, `nearestFrame(${us})`);
  equal(nearestFrame(null, 5), -1, "without a table");
});

test("where to seek", () => {
  equal([0, 1, 2].map((k) => midpoint(frames, k)), [86700, 116700, 143350], "midpoints");
  equal(midpoint(frames, 3), 170000, "last frame: start + 10 ms, as half of 33.3 ms is more");
  equal(midpoint(Float64Array.of(0, 8000, 16000), 1), 12000, "last frame of a fast clip: half the frame before");
  equal(midpoint(Float64Array.of(0, 8000), 0), 4000, "the only frame");
});

test("every seek target lies in its frame", () => {
  for (let k = 0; k < count(frames); k++) equal(frameAt(frames, midpoint(frames, k)), k, `frame at midpoint(${k})`);
});

test("snapping", () => {
  for (const [us, want] of [[0, 66700], [86700, 66700], [86701, 106700], [126000, 126700], [179999, 160000], [180001, 200000], [1e9, 200000]])
    equal(snap(frames, us), want, `snap(${us})`);
  equal(snap(null, 12.6), 13, "without a table");
  equal(snap(Float64Array.of(0, 33366.667, 66733.333), 33000), 33367, "whole µs");
});
