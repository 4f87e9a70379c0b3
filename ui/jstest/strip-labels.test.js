// @ts-check
// Labels that fit, boxes that are hit, edges that are dragged; worked by hand.
import { test, equal, ok } from "./assert.js";
import { Occupancy, place, centred, shorten } from "/assets/js/strip/labels.js";
import { boxesOf, hit, grip } from "/assets/js/strip/boxes.js";
import { edgeLimits, dragged } from "/assets/js/strip/edges.js";
import { layoutRows } from "/assets/js/strip/rows.js";
import { Scale } from "/assets/js/strip/view.js";
import { Book } from "/assets/js/strip/book.js";

const box = { ascent: 9, descent: 3, left: 0, right: 200 };
const at = (/** @type {number} */ x, width = 40, y = 30) => ({ text: "t", x, y, width });

test("a label takes the first free place and none over another", () => {
  const grid = new Occupancy(200, 60);
  equal(place(grid, [at(10)], box)?.x, 10, "first");
  equal(place(grid, [at(30), at(60)], box)?.x, 60, "second choice");
  equal(place(grid, [at(20), at(45), at(90)], box), null, "nowhere: dropped");
  equal(place(grid, [at(20, 40, 50)], box)?.x, 20, "another line");
  equal(place(grid, [at(-1), at(161)], box), null, "out of the plot");
});

test("no two labels ever touch", () => {
  const grid = new Occupancy(400, 100);
  let seed = 3;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  /** @type {{x: number, y: number, width: number}[]} */
  const taken = [];
  for (let i = 0; i < 3000; i++) {
    const p = place(grid, [{ text: "", x: random() * 380, y: 10 + random() * 85, width: 5 + random() * 40 }], { ascent: 9, descent: 3, left: 0, right: 400 });
    if (p) taken.push(p);
  }
  ok(taken.length > 10, `${taken.length} labels placed`);
  for (const p of taken) {
    for (const q of taken) {
      if (p === q) continue;
      const apart = p.x + p.width <= q.x || q.x + q.width <= p.x || p.y + 3 <= q.y - 9 || q.y + 3 <= p.y - 9;
      ok(apart, `${JSON.stringify(p)} touches ${JSON.stringify(q)}`);
    }
  }
});

test("middles stay in view, long texts are cut", () => {
  equal(centred(100, 200, 40, 0, 1000), 130);
  equal(centred(-500, 100, 40, 0, 1000), 30, "middle of the visible part");
  equal(centred(-500, 10, 40, 0, 1000), 0, "moved in from the left");
  equal(centred(990, 2000, 40, 0, 1000), 960, "moved in from the right");
  const ten = (/** @type {string} */ s) => s.length * 10;
  equal(shorten("bicycle", 70, ten), "bicycle");
  equal(shorten("bicycle", 60, ten), "bicyc…");
  equal(shorten("a bicycle", 35, ten), "", "fewer than three letters say nothing");
  equal(shorten("", 0, ten), "");
});

const book = new Book({
  help_rank: 1, ladder: [{ channel: "hand", rank: 1 }, { channel: "buzz", rank: 3 }],
  lanes: [
    { name: "work", exclusive: true, codes: [{ id: "h", role: "exercise", kind: "heel" }, { id: "s", role: "exercise", kind: "stay" }] },
    { name: "loose", exclusive: false, codes: [{ id: "f", role: "error", kind: "ahead" }, { id: "q", role: "cue", command: "sit" }, { id: "p", role: "pressure", channel: "buzz" }, { id: "d", role: "distraction" }] },
  ],
});
const rows = layoutRows({ width: 1116, rankMax: 3, side: "left", signs: true, context: [] });
const scale = new Scale({ from: 0, to: 100e6 }, 100, 1100); // 10 px a second
const on = { rows, scale, now: 50e6 };
const item = (/** @type {string} */ id, /** @type {string} */ code, /** @type {number} */ a, /** @type {number | null} */ b = a) =>
  /** @type {import("/assets/js/strip/types.js").Item} */ (book.item({ id, code, start_us: a * 1e6, end_us: b === null ? null : b * 1e6 }));

test("boxes lie where things are drawn", () => {
  equal(boxesOf(item("a", "f", 10, 20), rows, scale, 0), [{ x0: 200, x1: 300, y0: rows.leg - rows.depth, y1: rows.leg }], "ahead");
  equal(boxesOf(item("a", "q", 10), rows, scale, 0), [{ x0: 195, x1: 205, y0: rows.cue - 8, y1: rows.cue + 8 }], "cue");
  equal(boxesOf(item("a", "s", 10, null), rows, scale, 30e6)[0].x1, 400, "open up to the playhead");
  equal(boxesOf(item("a", "s", 10, null), rows, scale, 5e6)[0].x1, 214, "open, playhead before it: a stub");
  equal(boxesOf(item("a", "p", 10, 20), rows, scale, 0).map((b) => b.y1), [rows.rungs[3] + 5, rows.rungs[3] + 6], "held pressure: bar and stem");
});

test("a click meets moments before spans, short spans before long ones", () => {
  const items = [item("heel", "h", 0, 100), item("ahead", "f", 10, 12), item("cue1", "q", 30), item("cue2", "q", 31), item("wood", "d", 5, 90)];
  const id = (/** @type {number} */ x, /** @type {number} */ y, slop = 3) => hit(items, x, y, slop, on)?.id ?? null;
  equal(id(210, rows.leg - 8), "ahead");
  equal(id(210, rows.leg), "ahead", "where both lie the shorter");
  equal(id(500, rows.leg), "heel");
  equal(id(404, rows.cue), "cue1", "nearer to the first");
  equal(id(407, rows.cue), "cue2", "nearer to the second");
  equal(id(500, rows.leg - 30), null, "nothing between the rows");
  equal(id(500, rows.behindLabel), "wood", "hatching is met at its name only");
  equal(id(500, rows.ground + 5), null, "so the rest of it stays free to seek");
});

test("edges of what is selected", () => {
  const span = item("ahead", "f", 10, 20);
  const edge = (/** @type {import("/assets/js/strip/types.js").Item} */ i, /** @type {number} */ x, y = rows.leg - 8) => grip([i], x, y, 6, on)?.edge ?? null;
  equal([edge(span, 203), edge(span, 298), edge(span, 250), edge(span, 203, rows.cue)], ["start", "end", null, null]);
  equal(edge(item("q", "q", 10), 202, rows.cue), "both", "a moment moves as a whole");
  equal([edge(item("o", "f", 10, null), 200), edge(item("o", "f", 10, null), 600)], ["start", null], "an open end can't be taken");
});

test("how far an edge goes", () => {
  const clip = { from: 0, to: 100e6 };
  const [a, b, c] = [item("a", "h", 10, 20), item("b", "s", 25, 30), item("c", "s", 40, null)];
  const all = [a, b, c, item("x", "f", 1, 99)];
  equal(edgeLimits(b, "start", all, clip), [20e6, 30e6], "start: neighbour's end to own end");
  equal(edgeLimits(b, "end", all, clip), [25e6, 40e6], "end: own start to the next one's start");
  equal(edgeLimits(a, "start", all, clip), [0, 20e6], "first of its lane");
  equal(edgeLimits(c, "start", all, clip), [30e6, 100e6], "open");
  equal(edgeLimits(item("y", "f", 50, 60), "start", all, clip), [0, 60e6], "a lane that isn't exclusive");
  equal(edgeLimits(item("q", "q", 50), "both", all, clip), [0, 100e6], "a moment");
});

test("a dragged edge lands on a frame and leaves a frame's length", () => {
  const frames = Float64Array.from({ length: 101 }, (_, k) => k * 1e6); // one frame a second
  const span = item("a", "f", 10, 20);
  const all = /** @type {[number, number]} */ ([0, 100e6]);
  const to = (/** @type {any} */ i, /** @type {"start" | "end" | "both"} */ edge, /** @type {number} */ s, limits = all) => {
    const d = dragged(i, edge, s * 1e6, limits, frames);
    return [d.start_us / 1e6, d.end_us === null ? null : d.end_us / 1e6];
  };
  equal(to(span, "start", 12.4), [12, 20]);
  equal(to(span, "start", 12.6), [13, 20]);
  equal(to(span, "start", 25, [0, 20e6]), [19, 20], "start at the end: one frame is left");
  equal(to(span, "end", 3, [10e6, 100e6]), [10, 11], "end at the start");
  equal(to(span, "end", 1e6), [10, 100], "the clip's end");
  equal(to(span, "end", 50, [10e6, 30e6]), [10, 30], "stopped by a neighbour");
  equal(to(span, "end", 50, [10e6, 30.7e6]), [10, 30], "a neighbour off the frames: the last frame before it");
  equal(to(span, "start", 2, [6.3e6, 20e6]), [7, 20], "and the first after it");
  equal(to(item("o", "f", 10, null), "start", 5.2), [5, null], "an open span stays open");
  equal(to(item("q", "q", 10), "both", 33.3), [33, 33], "a moment");
  equal(to(item("o", "f", 10, 11), "start", 10.9), [10, 11], "a span of one frame can't get shorter");
  equal(dragged(span, "start", 12.3456789e6, all, null), { start_us: 12345679, end_us: 20e6 }, "without a frame table");
});
