// @ts-check
// Shows the strip with the sample reading; what it asks for is answered here as
// the desk would. Words in the address choose a variant: stale, empty, right,
// live, zoom, selected, part, busy, plain.
import { Strip } from "/assets/js/strip/strip.js";
import { clip, frames, events, measures, window64 } from "./sample.js";
import { busyEvents } from "./busy.js";

const words = new Set(location.hash.slice(1).split("+"));
const book = await (await fetch("/jstest/book.json")).json();
const root = /** @type {HTMLElement} */ (document.getElementById("strip"));
const strip = new Strip(root, { label: "Strip of the clip" });

/** @type {any[]} */
let shown = words.has("empty") ? [] : events;
if (words.has("live")) {
  const now = 17.8e6;
  shown = events.filter((e) => e.start_us <= now).map((e) => ((e.end_us ?? 0) > now ? { ...e, end_us: null } : e));
  shown.push({ id: "d1", code: "distraction", start_us: 13e6, end_us: null, details: { kind: "dog", distance_m: 20 }, note: "" },
    { id: "g1", code: "leash-guide", start_us: 17.4e6, end_us: null, details: {}, note: "" }, { id: "l1", code: "long-line", start_us: 2e6, end_us: null, details: {}, note: "" });
}
if (words.has("hidden")) shown = [...shown, { id: "h1", code: "hidden", start_us: 40e6, end_us: 43.5e6, details: {}, note: "" }, { id: "h2", code: "hidden", start_us: 17.5e6, end_us: 20.2e6, details: {}, note: "" },
  { id: "l1", code: "on-leash", start_us: 0, end_us: 34e6, details: {}, note: "" }, { id: "l2", code: "dragging", start_us: 34e6, end_us: 63e6, details: {}, note: "" }, { id: "w1", code: "hands-owner", start_us: 2e6, end_us: 60e6, details: {}, note: "" }];

if (words.has("all")) {
  shown = everything();
  book.lanes[0].codes.push({ id: "ex-own", name: "figure of eight", role: "exercise", shape: "span", kind: "other" });
  book.lanes[2].codes.push({ id: "high", name: "jumping up", role: "error", shape: "span", kind: "jumping" });
}

strip.setBook(book);
strip.setClip({ ...clip, frames, side: words.has("right") ? "right" : "left" });
strip.setEvents(shown, { window: words.has("part") || words.has("live") ? { start_us: 3e6, end_us: words.has("live") ? 17.8e6 : 50e6 } : window64 });
if (!words.has("plain") && !words.has("empty") && !words.has("live") && !words.has("all")) strip.setMeasures(measures, { stale: words.has("stale") });
strip.setTime(words.has("live") ? 17.8e6 : 35.604e6);
if (words.has("busy")) {
  strip.setClip({ start_us: 0, duration_us: 3600e6 });
  strip.setEvents(busyEvents(20000, 3600), { window: { start_us: 0, end_us: 3600e6 } });
  strip.setMeasures(null);
  strip.fit();
}
if (words.has("selected")) strip.setSelection(new Set(["e010", "e012", "e029"]));
if (words.has("zoom")) strip.showRange(14.5e6, 24.5e6);
if (words.has("close")) strip.showRange(17.0e6, 18.9e6);

root.addEventListener("strip-seek", (e) => strip.setTime(/** @type {CustomEvent} */ (e).detail.us));
root.addEventListener("strip-select", (e) => {
  const { ids, add } = /** @type {CustomEvent} */ (e).detail;
  strip.setSelection(add ? new Set([...strip.selection, ...ids]) : ids);
});
root.addEventListener("strip-edge", (e) => {
  const { id, start_us, end_us, done } = /** @type {CustomEvent} */ (e).detail;
  if (!done) return;
  shown = shown.map((x) => (x.id === id ? { ...x, start_us, end_us } : x));
  strip.setEvents(shown);
  strip.setMeasures(measures, { stale: true });
});
Object.assign(window, { picture: strip }); // "strip" is the element itself

/** One of each shape. */
function everything() {
  let n = 0;
  const s = 1e6;
  const e = (/** @type {string} */ code, /** @type {number} */ a, b = a, details = {}, note = "") => ({ id: `a${n++}`, code, start_us: a * s, end_us: b * s, details, note });
  return [
    e("ex-heel", 1, 20), e("ahead", 2, 4), e("behind", 4, 5.5), e("wide", 6.5, 8.5), e("ahead", 9.5, 13), e("wide", 10, 12.3), e("crowding", 14, 15.5), e("high", 16.5, 18),
    e("off-task", 8, 11, { kind: "dog" }), e("behind", 20.8, 22.2), e("broke", 23),
    e("turn", 1.4, 1.4, { kind: "left" }), e("turn", 5.7, 5.7, { kind: "right" }), e("turn", 8.9, 8.9, { kind: "about" }), e("turn", 13.5), e("pace", 19, 19, { kind: "slow" }), e("pace", 20.2, 20.2, { kind: "fast" }), e("pace", 21.2, 21.2, { kind: "goes away" }), e("pace", 22.4, 22.4, { kind: "comes back" }), e("pace", 23.6),
    e("ex-recall", 24.5, 28), e("come", 24.5), e("name", 24), e("did", 28), e("ex-place", 29, 36), e("broke", 31), e("broke", 33, 34, { kind: "crept" }), e("place", 28.4), e("other", 28.9), e("heard", 28.6), e("release", 36), e("ex-free", 36, 40), e("ex-walk", 40.5, 46), e("ex-own", 46.5, 48), e("off-task", 42, 44),
    e("help", 3, 3, { kind: "lure" }), e("help", 6, 9, { kind: "hand" }), e("marker", 4.5), e("paid", 5), e("praise", 10),
    e("body", 1.5, 3), e("voice", 4), e("leash-guide", 5, 7), e("tone", 8), e("vibration", 9.5, 11, { level: 40 }), e("leash-pop", 12.5), e("stim", 14, 14, { level: 12, taps: 3 }), e("stim-held", 17, 19.5, { level: 7 }),
    e("stress", 30, 30, { kind: "yawn" }), e("stress", 33, 35.5, { kind: "pants" }), e("at-ease", 38, 38, { kind: "plays" }), e("remark", 42, 42, {}, "wind from the left, he keeps looking at the gate all the while"), e("remark", 52, 55, {}, "long remark"),
    e("distraction", 50, 58, { kind: "person", distance_m: 12 }), e("distraction", 54, 61, { kind: "noise" }), e("hidden", 56, 59), e("stim", 57.3, 57.3, { level: 3 }), e("ex-heel", 50, 63),
  ];
}
