// @ts-check
// The view, the scale of time and the rows; values worked by hand.
import { test, equal, near, ok } from "./assert.js";
import { CLOSEST, clampView, zoomView, panView, followView, isWhole, Scale } from "/assets/js/strip/view.js";
import { layoutRows, errorBand, labelledAbove } from "/assets/js/strip/rows.js";

const clip = { from: 0, to: 60e6 };

test("a view stays in the clip", () => {
  equal(clampView({ from: -5e6, to: 15e6 }, clip), { from: 0, to: 20e6 });
  equal(clampView({ from: 55e6, to: 65e6 }, clip), { from: 50e6, to: 60e6 });
  equal(clampView({ from: -1, to: 99e6 }, clip), clip, "longer than the clip");
  equal(clampView({ from: 30e6, to: 30e6 }, clip), { from: 30e6, to: 30e6 + CLOSEST }, "no length");
  equal(clampView({ from: 0, to: 1 }, { from: 1.5e6, to: 1.5e6 }), { from: 1.5e6, to: 1.5e6 + CLOSEST }, "empty clip");
  equal(clampView({ from: 0, to: 9e6 }, { from: 1.5e6, to: 21.5e6 }), { from: 1.5e6, to: 10.5e6 }, "a clip that starts late");
});

test("zoom keeps the time under the pointer in its place", () => {
  equal(zoomView(clip, clip, 2, 15e6), { from: 7.5e6, to: 37.5e6 });
  equal(zoomView(clip, clip, 2, 0), { from: 0, to: 30e6 });
  equal(zoomView({ from: 20e6, to: 30e6 }, clip, 0.01, 25e6), clip, "out as far as it goes");
  equal(zoomView(clip, clip, 1e9, 30e6), { from: 30e6 - CLOSEST / 2, to: 30e6 + CLOSEST / 2 }, "in as far as it goes");
});

test("pan and whole", () => {
  equal(panView({ from: 10e6, to: 20e6 }, clip, 5e6), { from: 15e6, to: 25e6 });
  equal(panView({ from: 10e6, to: 20e6 }, clip, -50e6), { from: 0, to: 10e6 });
  equal([isWhole(clip, clip), isWhole({ from: 0, to: 59e6 }, clip)], [true, false]);
});

test("a playhead that runs out of view is followed, one that was out already isn't", () => {
  const view = { from: 10e6, to: 20e6 };
  equal(followView(view, clip, 19.9e6, 20.1e6), { from: 19.1e6, to: 29.1e6 }, "forward");
  equal(followView(view, clip, 10.1e6, 9.9e6), { from: 0.9e6, to: 10.9e6 }, "back");
  equal(followView(view, clip, 30e6, 31e6), view, "looking elsewhere");
  equal(followView(view, clip, 12e6, 13e6), view, "inside");
});

test("time to pixel and back", () => {
  const scale = new Scale({ from: 10e6, to: 20e6 }, 100, 1100);
  equal([10e6, 15e6, 20e6, 0].map((t) => scale.x(t)), [100, 600, 1100, -900]);
  for (const t of [0, 59.999e6, 60e6, 3600e6]) near(scale.us(scale.x(t)), t, 1e-3, `us(x(${t}))`);
  equal(scale.near(3600e6), 1120, "far right");
  equal(scale.near(-1e12, 5), 95, "far left");
  equal(scale.near(Infinity), 1120, "open");
});

test("rows lie under each other, however many ranks and rows there are", () => {
  for (const rankMax of [1, 6, 14]) {
    for (const scale of [1, 1.5]) {
      const r = layoutRows({ width: 1280, scale, rankMax, side: "left", signs: true, context: ["line", "who handles"] });
      equal(r.rungs.length, rankMax + 1, "rungs and the ground");
      const order = [r.overview, r.axis, r.ticks, r.top, r.behindLabel, r.cueLabel, r.cue, r.moves, r.leg - r.depth, r.leg, r.leg + r.depth, r.rewards,
        r.ground, ...r.rungs.slice(1), r.bottom, r.signs, ...r.context.map((c) => c.y), r.height];
      for (let i = 1; i < order.length; i++) ok(order[i] > order[i - 1], `row ${i} at ${order[i]} is not under ${order[i - 1]} (${rankMax} ranks)`);
    }
  }
  const bare = layoutRows({ width: 300, rankMax: 6, side: "left", signs: false, context: [] });
  equal([bare.named, bare.signs, bare.left], [false, 0, 14], "a narrow strip without signs");
});

test("which side of the leg an error lies on", () => {
  const [left, right] = /** @type {const} */ (["left", "right"]).map((side) => layoutRows({ width: 1280, rankMax: 6, side, signs: true, context: [] }));
  const { leg, depth } = left;
  equal(errorBand(left, "ahead"), [leg - depth, leg], "ahead is up");
  equal(errorBand(right, "ahead"), [leg - depth, leg], "on the right too");
  equal(errorBand(left, "behind"), [leg, leg + depth], "behind is down");
  equal(errorBand(left, "wide"), [leg - 13, leg - 7], "a dog on the left goes wide upward, clear of the leg");
  equal(errorBand(right, "wide"), [leg + 7, leg + 13], "one on the right downward");
  equal(errorBand(left, "crowding"), [leg, leg + 7], "crowding is against the leg on the handler's side");
  equal(errorBand(right, "crowding"), [leg - 7, leg], "mirrored");
  equal(errorBand(left, "jumping"), [leg - 4, leg + 4], "a kind of the user's own");
  equal(["ahead", "behind", "wide", "crowding", "jumping"].map((k) => labelledAbove(left, k)), [true, false, true, false, true], "labels, left");
  equal(["ahead", "behind", "wide", "crowding", "jumping"].map((k) => labelledAbove(right, k)), [true, false, false, true, true], "labels, right");
});
