// @ts-check
// The strip in a page: what it asks for when it is used, and what its canvas
// shows. The plot is 1,000 px wide from x = 112, one second is 10 px wide.
import { test, equal, near, ok, nextFrame } from "./assert.js";
import { Strip } from "/assets/js/strip/strip.js";
import { readInk } from "/assets/js/strip/paint/ink.js";
import { events as sample, frames as sampleFrames, measures, window64 } from "./sample.js";

const book = await (await fetch("/jstest/book.json")).json();

/**
 * A strip of a 100 s clip with one frame each 0.1 s, painted.
 * @param {any[]} events
 * @param {{side?: "left" | "right", start?: number, measures?: any, stale?: boolean, window?: any}} [more]
 */
function make(events, { side = "left", measures = null, stale = false, window = null } = {}) {
  const root = document.createElement("div");
  root.style.width = "1130px";
  document.body.replaceChildren(root);
  document.body.style.margin = "0";
  document.body.style.padding = "0";
  const strip = new Strip(root, { label: "Strip" });
  strip.setBook(book);
  strip.setClip({ start_us: 0, duration_us: 100e6, frames: Float64Array.from({ length: 1001 }, (_, k) => k * 1e5), side });
  strip.setEvents(events, { window });
  strip.setMeasures(measures, { stale });
  strip.setTime(50e6);
  strip.paint();
  /** @type {[string, any][]} */
  const asked = [];
  for (const name of ["strip-seek", "strip-select", "strip-edge", "strip-view"]) {
    root.addEventListener(name, (e) => asked.push([name, /** @type {CustomEvent} */ (e).detail]));
  }
  let id = 1;
  const pointer = (/** @type {string} */ type, /** @type {number} */ x, /** @type {number} */ y, more = {}) => {
    const box = root.getBoundingClientRect();
    root.dispatchEvent(new PointerEvent(type, { bubbles: true, cancelable: true, pointerId: id, pointerType: "mouse", button: 0, clientX: box.left + x, clientY: box.top + y, ...more }));
  };
  const press = (/** @type {number} */ x, /** @type {number} */ y, more = {}) => {
    id++;
    pointer("pointerdown", x, y, more);
  };
  const click = (/** @type {number} */ x, /** @type {number} */ y, more = {}) => {
    press(x, y, more);
    pointer("pointerup", x, y, more);
  };
  const x = (/** @type {number} */ s) => strip.scale.x(s * 1e6);
  return { root, strip, asked, pointer, press, click, x, rows: strip.rows };
}

let n = 0;
const event = (/** @type {string} */ code, /** @type {number} */ a, /** @type {number | null} */ b = a, details = {}) => ({ id: `${code}-${n++}`, code, start_us: a * 1e6, end_us: b === null ? null : b * 1e6, details, note: "" });

/** Pixels of one colour on the strip's canvases. @param {Strip} strip @param {"main" | "under"} layer @param {string} colour */
function pixels(strip, layer, colour) {
  const canvas = strip.layers[layer];
  const paper = /** @type {CanvasRenderingContext2D} */ (document.createElement("canvas").getContext("2d"));
  paper.fillStyle = colour;
  paper.fillRect(0, 0, 1, 1);
  const [r, g, b] = paper.getImageData(0, 0, 1, 1).data;
  const { data } = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d")).getImageData(0, 0, canvas.width, canvas.height);
  let count = 0;
  for (let i = 0; i < data.length; i += 4) if (data[i] === r && data[i + 1] === g && data[i + 2] === b && data[i + 3] === 255) count++;
  return count / strip.layers.dpr ** 2;
}

test("the plot of these tests", () => {
  const { strip, x } = make([]);
  near(strip.scale.perUs * 1e6, 10, 0.05, "pixels per second");
  near(x(0), strip.rows.left + 4, 1e-9, "x(0)");
});

test("a press on empty paper seeks, and goes on seeking as the mouse moves", () => {
  const { asked, press, pointer, x, rows } = make([]);
  press(x(20), rows.cue);
  pointer("pointermove", x(35), rows.cue);
  pointer("pointermove", x(500), rows.cue);
  pointer("pointerup", x(500), rows.cue);
  const times = asked.map(([name, d]) => [name, Math.round(d.us / 1e5) / 10]);
  equal(times, [["strip-seek", 20], ["strip-seek", 35], ["strip-seek", 100]]);
});

test("a click on an event selects it, with Shift it adds, on empty paper it clears", () => {
  const ahead = event("ahead", 20, 24);
  const cue = event("sit", 40);
  const { strip, asked, click, x, rows } = make([event("ex-heel", 10, 60), ahead, cue]);
  click(x(22), rows.leg - 10);
  equal(asked.splice(0), [["strip-select", { ids: [ahead.id], add: false }]], "click");
  strip.setSelection([ahead.id]);
  click(x(40), rows.cue, { shiftKey: true });
  equal(asked.splice(0), [["strip-select", { ids: [cue.id], add: true }]], "with Shift");
  click(x(80), rows.cue);
  equal(asked.map(([name, d]) => [name, d.ids ?? null]), [["strip-seek", null], ["strip-select", []]], "empty paper");
});

test("an edge is dragged from frame to frame, and only the end of the drag is done", () => {
  const ahead = event("ahead", 20, 24);
  const { strip, asked, press, pointer, x, rows } = make([event("ex-heel", 10, 60), ahead]);
  press(x(24), rows.leg - 10);
  pointer("pointerup", x(24), rows.leg - 10);
  ok(!asked.some(([name]) => name === "strip-edge"), "an edge that isn't selected can't be dragged");
  strip.setSelection([ahead.id]);
  strip.paint();
  asked.length = 0;
  press(x(24) + 2, rows.leg - 10);
  pointer("pointermove", x(26.34) + 2, rows.leg - 10);
  equal(asked.splice(0), [["strip-edge", { id: ahead.id, edge: "end", start_us: 20e6, end_us: 26.3e6, done: false }]], "while dragging");
  strip.paint();
  equal(strip.scene.byId.get(ahead.id)?.end, 26.3e6, "shown at once");
  pointer("pointermove", x(26.345) + 2, rows.leg - 10);
  equal(asked, [], "no second word about the same frame");
  pointer("pointermove", x(19) + 2, rows.leg - 10);
  pointer("pointerup", x(19) + 2, rows.leg - 10);
  equal(asked.map(([, d]) => [d.end_us, d.done]), [[20.1e6, false], [20.1e6, true]], "past the start: one frame is left");
});

test("what was dragged stays until the reading follows, and goes back if it doesn't", async () => {
  const ahead = event("ahead", 20, 24);
  const { strip, press, pointer, x, rows } = make([event("ex-heel", 10, 60), ahead]);
  strip.setSelection([ahead.id]);
  const drag = () => {
    press(x(24), rows.leg - 10);
    pointer("pointermove", x(30), rows.leg - 10);
    pointer("pointerup", x(30), rows.leg - 10);
    strip.paint();
    equal(strip.scene.byId.get(ahead.id)?.end, 30e6, "end after the drag");
  };
  drag();
  await nextFrame();
  await nextFrame();
  equal(strip.scene.byId.get(ahead.id)?.end, 24e6, "refused: end two frames later");
  drag();
  strip.setEvents([event("ex-heel", 10, 60), { ...ahead, end_us: 31e6 }]);
  strip.paint();
  equal(strip.scene.byId.get(ahead.id)?.end, 31e6, "the reading's own end");
});

test("Escape gives up a drag and goes no further", () => {
  const sit = event("sit", 20);
  const { strip, asked, press, pointer, x, rows } = make([sit]);
  strip.setSelection([sit.id]);
  let heard = 0;
  const listen = () => heard++;
  document.addEventListener("keydown", listen);
  press(x(20), rows.cue);
  pointer("pointermove", x(30), rows.cue);
  document.body.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true, cancelable: true }));
  pointer("pointermove", x(40), rows.cue);
  pointer("pointerup", x(40), rows.cue);
  document.removeEventListener("keydown", listen);
  equal(asked.filter(([name]) => name === "strip-edge").map(([, d]) => [d.edge, d.start_us, d.end_us, d.done, d.cancelled ?? false]),
    [["both", 30e6, 30e6, false, false], ["both", 20e6, 20e6, false, true]]);
  equal(heard, 0, "keydowns that others heard");
  equal(strip.drag, null, "drag");
});

test("the wheel moves when zoomed in, with Ctrl it zooms at the pointer, else the page scrolls", () => {
  const { root, strip, asked, x } = make([]);
  const wheel = (/** @type {any} */ more) => {
    const e = new WheelEvent("wheel", { bubbles: true, cancelable: true, clientX: x(25), clientY: 50, ...more });
    root.dispatchEvent(e);
    return e.defaultPrevented;
  };
  equal(wheel({ deltaY: 100 }), false, "taken while all is in view");
  equal(asked, []);
  equal(wheel({ deltaY: -250 * Math.LN2, ctrlKey: true }), true, "zoom taken");
  near(strip.view.from_us, 12.5e6, 1, "from");
  near(strip.view.to_us, 62.5e6, 1, "to");
  equal(asked.splice(0), [["strip-view", strip.view]], "told");
  equal(wheel({ deltaY: 100 }), true, "pan taken");
  near(strip.view.from_us, 12.5e6 + 100 / strip.scale.perUs, 1, "from after the pan");
  wheel({ deltaX: -1e5, deltaY: 3 });
  equal(strip.view.from_us, 0, "sideways, to the beginning");
});

test("touch: a finger pans when zoomed in, two zoom, a tap seeks", () => {
  const { strip, asked, press, pointer, click, x, rows } = make([]);
  const touch = { pointerType: "touch" };
  click(x(30), rows.cue, touch);
  equal(asked.splice(0).map(([name, d]) => [name, Math.round(d.us / 1e6)]), [["strip-seek", 30]], "tap");
  strip.showRange(20e6, 40e6);
  asked.length = 0;
  press(x(30), rows.cue, touch);
  pointer("pointermove", x(30) - 100, rows.cue, touch);
  pointer("pointerup", x(30) - 100, rows.cue, touch);
  near(strip.view.from_us, 22e6, 0.1e6, "from after a pan by 100 px at 50 px a second");
  ok(asked.every(([name]) => name === "strip-view"), "no seek");
  strip.fit();
  pointer("pointerdown", 400, rows.cue, { ...touch, pointerId: 901 });
  pointer("pointerdown", 600, rows.cue, { ...touch, pointerId: 902 });
  pointer("pointermove", 300, rows.cue, { ...touch, pointerId: 901 });
  pointer("pointermove", 700, rows.cue, { ...touch, pointerId: 902 });
  near(strip.view.to_us - strip.view.from_us, 50e6, 1e3, "twice as far apart, twice as close");
  pointer("pointerup", 300, rows.cue, { ...touch, pointerId: 901 });
  pointer("pointerup", 700, rows.cue, { ...touch, pointerId: 902 });
  equal(strip.gestures.mode, "none", "mode after both are lifted");
});

test("a double click zooms to the event, on empty paper out to all", () => {
  const stay = event("ex-sit", 40, 50);
  const { strip, click, x, rows } = make([stay]);
  click(x(45), rows.leg);
  click(x(45), rows.leg);
  equal(strip.view, { from_us: 36e6, to_us: 54e6 });
  click(x(37), rows.cue);
  click(x(37), rows.cue);
  equal(strip.view, { from_us: 0, to_us: 100e6 });
});

test("a playhead that runs out of view is followed", () => {
  const { strip } = make([]);
  strip.showRange(45e6, 55e6);
  strip.setTime(56e6);
  equal(strip.view, { from_us: 55e6, to_us: 65e6 });
});

test("under a pressed pointer the view stays", () => {
  const { strip, asked, press, pointer, rows } = make([]);
  strip.showRange(45e6, 55e6);
  asked.length = 0;
  press(600, rows.cue);
  pointer("pointermove", 5000, rows.cue);
  near(asked[asked.length - 1][1].us, 55e6, 1, "seek at the end of the view");
  strip.setTime(56e6);
  equal(strip.view, { from_us: 45e6, to_us: 55e6 });
  pointer("pointerup", 5000, rows.cue);
});

test("the filled area is time out of position within heel work, and nothing else", () => {
  const { error } = readInk(document.documentElement);
  const filled = (/** @type {any[]} */ events, layer = /** @type {"main" | "under"} */ ("main"), more = {}) => pixels(make(events, more).strip, layer, error);
  equal(filled([event("ex-heel", 0, 100), event("off-task", 10, 30), event("distraction", 5, 50), event("stim", 20, 20, { level: 9 }), event("did", 30), event("broke", 40, 45)]), 0, "without an error");
  equal(filled([event("behind", 10, 20)]), 0, "without heel work");
  const heel = event("ex-heel", 0, 100);
  // 10 s are 100 px wide, a step is 18 px deep; its outline takes a pixel or two on each side.
  const step = filled([heel, event("ahead", 10, 20)]);
  ok(step > 96 * 15 && step <= 101 * 18, `ahead for 10 s fills ${step} px`);
  near(filled([heel, event("behind", 10, 20)]), step, 60, "behind fills as much");
  near(filled([heel, event("ahead", 10, 20), event("ahead", 30, 40)]), 2 * step, 60, "two");
  near(filled([heel, event("ahead", 10, 20), event("hidden", 15, 20)]), step / 2, 40, "half of it hidden");
  const wide = filled([heel, event("wide", 10, 20)]);
  ok(wide > 96 * 3 && wide < 101 * 6, `wide for 10 s fills ${wide} px`);
  near(filled([heel, event("ahead", 80, null)]), 2 * step, 80, "an open error runs to the end of heel work that is closed");
  const open = [event("ex-heel", 0, null), event("ahead", 40, null)];
  equal([filled(open), Math.abs(filled(open, "under") - step) < 80], [0, true], "in open heel work it fills to the playhead, 10 s on, on the lower layer");
});

test("an open span grows with the playhead without the upper layer being painted again", () => {
  const { strip } = make([event("ex-sit", 10, null)]);
  const { stay } = readInk(document.documentElement);
  const before = pixels(strip, "under", stay);
  const marker = /** @type {CanvasRenderingContext2D} */ (strip.layers.main.getContext("2d"));
  marker.fillStyle = "#123456";
  marker.fillRect(0, 0, 3, 3);
  strip.setTime(60e6);
  strip.paint();
  near(pixels(strip, "under", stay) - before, 100 * 20, 250, "more of the bar, 10 s by about 20 px");
  equal(pixels(strip, "main", "#123456"), 9, "the upper layer is the old one");
});

test("what is derived is dimmed while stale", () => {
  const given = { cues: { trials: [{ command: "sit", start_us: 20e6, end_us: 40e6, latency_s: 20, grade: "slow" }] } };
  const { ink } = readInk(document.documentElement);
  const whisker = (/** @type {boolean} */ stale) => pixels(make([event("sit", 20), event("did", 40)], { measures: given, stale }).strip, "main", ink);
  ok(whisker(false) - whisker(true) > 150, `${whisker(false)} px of ink, ${whisker(true)} when stale`);
});

test("every shape of the sample can be painted on both sides, in whole and close up", () => {
  for (const side of /** @type {const} */ (["left", "right"])) {
    const { strip, root } = make(sample, { side, measures, window: window64 });
    strip.setClip({ start_us: 0, duration_us: 64e6, frames: sampleFrames, side });
    for (let t = 0; t < 64e6; t += 2e6) {
      strip.showRange(t, t + 3e6);
      strip.setTime(t);
      strip.paint();
    }
    strip.setSelection(sample.map((e) => e.id));
    strip.paint();
    ok(root.clientHeight > 150, "height");
  }
});

test("the strip in words", () => {
  const { root, strip } = make([event("ex-heel", 10, 60), event("ahead", 20, 24), event("stim", 21, 21, { level: 9 })]);
  strip.describe();
  equal(root.getAttribute("role"), "group");
  equal(root.tabIndex, 0);
  equal(root.getAttribute("aria-label"), "Strip, 1:40 long: 1 error, 1 use of pressure. In view 0:00.0 to 1:40.0.");
  equal([...root.querySelectorAll("li")].map((li) => li.textContent), ["0:10.000 heel work, 50.0 s", "0:20.000 ahead (forging), 4.0 s", "0:21.000 stim, tap, level 9, correction"]);
  strip.setEvents([]);
  strip.paint();
  strip.describe();
  equal(root.querySelectorAll("li").length, 0, "after the events went");
});

test("destroy leaves an empty element that no longer answers", () => {
  const { root, strip, asked, click } = make([]);
  strip.destroy();
  equal(root.childElementCount, 0);
  click(300, 60);
  equal(asked, []);
});

test("what stands on the end of the window is drawn like what stands within it, words and all", () => {
  const ink = readInk(document.documentElement);
  const window = { start_us: 10e6, end_us: 40e6 };
  const drawn = (/** @type {number} */ at, /** @type {any} */ within) =>
    pixels(make([event("stim", at, at, { level: 9 })], { window: within }).strip, "main", ink.correction);
  equal(drawn(25, window), drawn(25, null), "within");
  // The bracket's own line goes over the stem.
  for (const at of [10, 40]) ok(drawn(at, window) > 0.6 * drawn(at, null), `at ${at} s: ${drawn(at, window)} of ${drawn(at, null)} pixels`);
  for (const at of [5, 60]) ok(drawn(at, window) < drawn(at, null) / 2, `outside, at ${at} s: ${drawn(at, window)} pixels`);
});

test("pressure has the word of its key", () => {
  const { strip } = make([event("leash-guide", 20, 22), event("stim", 30), event("stim", 40, 40, { channel: "collar" })]);
  equal([...strip.scene.byId.values()].map((i) => i.called), ["leash", "stim", "collar"]);
});
