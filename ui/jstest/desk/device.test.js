// @ts-check
// The device that a session is worked with, in new pressure events.
import { test, equal } from "../assert.js";
import { Bench } from "./bench.js";
import { detailsOf } from "/assets/js/desk/describe.js";

/** @param {import("/assets/js/desk/types.js").Device | null} device */
function bench(device) {
  const b = new Bench();
  const scene = b.scene.bind(b);
  b.scene = () => ({ ...scene(), device });
  return b;
}

const COLLAR = { device: "Collar A", channel: "stim", level_max: 15 };

test("new pressure on the device's channel carries it", () => {
  const b = bench(COLLAR);
  b.press("g", 1);
  b.press("t", 4);
  equal(b.list(), ["stim 1 {device Collar A, taps 1}", "tone 4 {taps 1}"]);
  equal(detailsOf(b.book, b.events[0]), "Collar A", "said in the event's text");
});

test("without a device nothing changes", () => {
  const b = bench(null);
  b.press("g", 1);
  equal(b.list(), ["stim 1 {taps 1}"]);
});

test("a span carries it too", () => {
  const b = bench(COLLAR);
  b.press("G", 1);
  b.press("G", 2);
  equal(b.list(), ["stim-held 1-2 {device Collar A}"]);
});

test("the last level is kept on the same device only", () => {
  const b = bench(COLLAR);
  b.kept.levels.set("stim", { level: 40, device: "B" });
  b.press("g", 1);
  equal(b.list(), ["stim 1 {device Collar A, taps 1}"], "40 was on another scale");
  b.press("9", 1);
  b.press("g", 5);
  equal(b.list()[1], "stim 5 {level 9, device Collar A, taps 1}");
});

test("no level goes above the device's end", () => {
  const b = bench(COLLAR);
  b.press("g", 1);
  b.press("1", 1);
  b.press("6", 1);
  equal(b.events[0].details.level, 1);
  equal(b.said, "16 is above 15, the end of the scale stim@Collar A");
});

test("a device that tells no end leaves the book's", () => {
  const b = bench({ device: "Collar A", channel: "stim" });
  b.press("g", 1);
  for (const digit of "101") b.press(digit, 1);
  equal(b.events[0].details.level, 10, "the channel ends at 100");
});

test("taken off an event, it stays off when that is tapped again", () => {
  const b = bench(COLLAR);
  b.press("g", 1);
  const { device, ...details } = b.events[0].details;
  b.events = [{ ...b.events[0], details }];
  b.press("g", 1.5);
  equal(b.list(), ["stim 1 {taps 2}"]);
});
