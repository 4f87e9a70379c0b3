// @ts-check
import { test, equal } from "../assert.js";
import { withStart, withEnd, withCode, withDetail, nudged, fits } from "/assets/js/desk/amend.js";
import { book } from "./book.js";

const frames = Float64Array.of(0, 33333.3, 66666.7, 100000, 133333.3, 166666.7);

/** @param {any[]} events */
const room = (events = []) => ({ book: book(), events, duration_us: 10e6 });
const behind = { id: "a", code: "behind", start_us: 2e6, end_us: 5e6 };
const ahead = { id: "b", code: "ahead", start_us: 6e6, end_us: 8e6 };
const moment = { id: "c", code: "did", start_us: 3e6, end_us: 3e6 };

test("edges", () => {
  equal(withStart(room([behind]), behind, 1e6), { ...behind, start_us: 1e6 });
  equal(withStart(room([behind]), behind, 5e6), "The start has to be before the end.");
  equal(withStart(room([moment]), moment, 4e6), { ...moment, start_us: 4e6, end_us: 4e6 }, "a moment moves whole");
  equal(withEnd(room([behind]), behind, null), { ...behind, end_us: null });
  equal(withEnd(room([behind]), behind, 1e6), "The end has to be after the start.");
  equal(withEnd(room([behind]), behind, 2e6), "This code is a span: its end has to be after its start.");
  equal(withEnd(room([moment]), moment, 4e6), "This code is a moment: it has no end of its own.");
  const leash = { id: "d", code: "leash-guide", start_us: 1e6, end_us: 1e6 };
  equal(withEnd(room(), leash, 2e6), { ...leash, end_us: 2e6 }, "a moment that may be a span");
  equal(withEnd(room(), { ...leash, end_us: 2e6 }, 1e6), leash, "and back");
});

test("in an exclusive lane only one runs", () => {
  const said = "“ahead” runs there already, and in the lane “ahead or behind” only one can.";
  equal(withEnd(room([behind, ahead]), behind, 6e6), { ...behind, end_us: 6e6 }, "up to the next");
  equal(withEnd(room([behind, ahead]), behind, 6000001), said, "a µs over it");
  equal(withEnd(room([behind, ahead]), behind, null), said, "for ever");
  equal(fits(room([ahead]), { id: "x", code: "distraction", start_us: 0, end_us: null }), { id: "x", code: "distraction", start_us: 0, end_us: null }, "another lane");
});

test("inside the clip", () => {
  equal(withStart(room(), moment, -1), "That is before the clip.");
  equal(withEnd(room(), behind, 10e6 + 1), "That is after the clip's end.");
  equal(withEnd(room(), behind, 10e6), { ...behind, end_us: 10e6 });
});

test("another code", () => {
  equal(withCode(room(), { ...behind, details: { kind: "behind" } }, "ahead"), { ...behind, code: "ahead", details: { kind: "behind" } }, "same role: details stay");
  equal(withCode(room(), { ...behind, details: { kind: "x", note: 1 } }, "did"), { ...behind, code: "did", end_us: 2e6, details: { note: 1 } }, "a span becomes a moment");
  equal(withCode(room(), moment, "hidden"), { ...moment, code: "hidden", end_us: null }, "a moment becomes an open span");
  equal(withCode(room(), moment, "none"), "The book has no such code.");
});

test("details", () => {
  const stim = { id: "s", code: "stim", start_us: 0, end_us: 0, details: { level: 9, taps: 1 } };
  equal(withDetail(room(), stim, "level", 12), { ...stim, details: { level: 12, taps: 1 } });
  equal(withDetail(room(), stim, "level", ""), { ...stim, details: { taps: 1 } });
  equal(withDetail(room(), stim, "level", -1), "This can't be below 0.");
  equal(withDetail(room(), stim, "level", 101), "The scale ends at 100.");
  equal(withDetail(room(), { ...stim, details: { device: "B" } }, "level", 21), "The scale ends at 20.", "of that device");
  equal(withDetail(room(), stim, "taps", 0), "Taps are counted from 1.");
  equal(withDetail(room(), stim, "taps", 1.5), "Taps are counted from 1.");
});

test("nudging by frames", () => {
  const r = { ...room(), duration_us: 166667 };
  const e = { id: "a", code: "behind", start_us: 33333, end_us: 100000 };
  equal(nudged(r, e, "start", 1, frames, 33333), { ...e, start_us: 66667 });
  equal(nudged(r, e, "start", -1, frames, 33333), { ...e, start_us: 0 });
  equal(nudged(r, e, "start", -5, frames, 33333), { ...e, start_us: 0 }, "not before the first frame");
  equal(nudged(r, e, "end", 9, frames, 33333), { ...e, end_us: 166667 }, "not after the end of the last");
  equal(nudged(r, { ...e, end_us: 166667 }, "end", -1, frames, 33333), { ...e, end_us: 133333 }, "back from the end of the clip");
  equal(nudged(r, e, "end", -2, frames, 33333), "This code is a span: its end has to be after its start.");
  equal(nudged(r, { ...e, end_us: null }, "end", 1, frames, 33333), "The end is still open.");
  const m = { id: "m", code: "did", start_us: 133333, end_us: 133333 };
  equal(nudged(r, m, "end", 1, frames, 33333), m, "a moment stays on a frame's start");
  equal(nudged(r, m, "end", -1, frames, 33333), { ...m, start_us: 100000, end_us: 100000 });
  equal(nudged(r, m, "start", -1, null, 40000), { ...m, start_us: 93333, end_us: 93333 }, "without a table by the frame rate");
});
