// @ts-check
// From events to what is drawn; values worked by hand.
import { test, equal } from "./assert.js";
import { Book } from "/assets/js/strip/book.js";
import { buildScene, trackName } from "/assets/js/strip/scene.js";
import { derive } from "/assets/js/strip/derived.js";
import { describe, summarize, listed } from "/assets/js/strip/listing.js";

const code = (/** @type {string} */ id, /** @type {string} */ role, /** @type {object} */ more = {}) => ({ id, name: `my ${id}`, role, ...more });

// A user's own book: other ids, other lanes than the default one.
const json = {
  help_rank: 2,
  ladder: [{ channel: "hand", rank: 1 }, { channel: "rope", rank: 2 }, { channel: "buzz", rank: 3 }, { channel: "buzz", device: "old", rank: 2 }],
  lanes: [
    { name: "work", exclusive: true, codes: [code("h", "exercise", { kind: "heel" }), code("s", "exercise", { kind: "stay" }), code("m", "exercise", { kind: "place" }), code("r", "exercise", { kind: "recall" })] },
    { name: "faults", exclusive: false, codes: [code("f", "error", { kind: "ahead" }), code("b", "error", { kind: "behind" }), code("w", "error", { kind: "wide" }), code("x", "error", { kind: "jumping" })] },
    { name: "more", exclusive: false, codes: [code("o", "off_task"), code("p", "pressure", { channel: "buzz" }), code("q", "cue", { command: "sit" }), code("a", "answer", { result: "did" }),
      code("n", "answer", { result: "none" }), code("hid", "hidden"), code("z", "remark"), code("new", "some role of later"), code("d", "distraction")] },
  ],
};
const book = new Book(json);
const clip = { from: 0, to: 100 };
let n = 0;
const e = (/** @type {string} */ c, /** @type {number} */ start, /** @type {number | null} */ end = start, details = {}, note = "") => ({ id: `${c}${n++}`, code: c, start_us: start, end_us: end, details, note });
const scene = (/** @type {any[]} */ ...events) => buildScene(book, events, clip);
const pieces = (/** @type {any} */ track) => track.items.map((/** @type {any} */ p) => [p.start, p.end, p.kind]);

test("details go over the code's properties, null ones don't", () => {
  const rank = (/** @type {object} */ details) => { const i = book.item(e("p", 0, 0, details)); return [i?.channel, i?.rank, i?.helps]; };
  equal(rank({}), ["buzz", 3, false]);
  equal(rank({ channel: "rope" }), ["rope", 2, true]);
  equal(rank({ channel: null }), ["buzz", 3, false]);
  equal(rank({ device: "old" }), ["buzz", 2, true], "a device with a rung of its own");
  equal(rank({ device: "other" }), ["buzz", 3, false], "a device without");
  equal(rank({ channel: "unheard of" }), ["unheard of", 1, true], "not on the ladder");
  equal(book.item(e("nowhere", 0)), null, "unknown code");
  equal(new Book(null).rankMax, 1, "no book");
});

test("events find their track by role, and unknown roles are signs", () => {
  const s = scene(e("h", 0, 10), e("s", 10, 20), e("m", 20, 30), e("r", 30, 40), e("q", 1), e("z", 2), e("new", 3), e("nowhere", 4));
  equal(Object.entries(s.tracks).filter(([, t]) => t.items.length > 0).map(([name, t]) => `${name} ${t.items.length}`),
    ["heel 1", "stays 2", "others 1", "cues 1", "signs 2"]);
  equal(s.byId.size, 7);
});

test("only error within heel work that was seen counts and is filled", () => {
  const s = scene(e("h", 10, 50), e("f", 5, 15), e("b", 20, 30), e("hid", 25, 28), e("w", 45, 60));
  equal(pieces(s.inside.steps), [[10, 15, "ahead"], [20, 25, "behind"], [28, 30, "behind"]], "filled steps");
  equal(pieces(s.outside.steps), [[5, 10, "ahead"]], "steps that count for nothing");
  equal(pieces(s.inside.bands), [[45, 50, "wide"]], "filled bands");
  equal(pieces(s.outside.bands), [[50, 60, "wide"]], "bands that count for nothing");
});

test("the dog's line is dotted off task and absent where the dog is hidden", () => {
  const s = scene(e("h", 10, 50), e("o", 20, 30), e("o", 48, 60), e("hid", 25, 40));
  equal(s.solid, [[10, 20], [40, 48]], "solid");
  equal(s.dotted, [[20, 25], [48, 50]], "dotted");
  equal(s.loose, [[50, 60]], "off task without heel work");
});

test("where ahead and behind overlap the later start wins, and the earlier comes back", () => {
  const s = scene(e("f", 10, 40), e("b", 20, 25), e("f", 60, 70), e("b", 65, 80));
  equal(pieces(s.steps), [[10, 20, "ahead"], [20, 25, "behind"], [25, 40, "ahead"], [60, 65, "ahead"], [65, 80, "behind"]]);
  equal(pieces(scene(e("f", 10, 20), e("b", 10, 30)).steps), [[10, 30, "behind"]], "equal starts: the longer one");
});

test("open spans stand apart; open heel work fills to the clip's end, an open hidden span blanks it", () => {
  const s = scene(e("h", 10, null), e("f", 20, 30), e("b", 35, null), e("hid", 60, null));
  equal(s.open.map((i) => i.start), [10, 35, 60]);
  equal(pieces(s.inside.steps), [[20, 30, "ahead"]], "closed errors in open heel work");
  equal(s.solid, [], "no line yet: it goes to the playhead");
  equal(s.heel, [[10, 60]], "heel work seen");
  const closed = scene(e("h", 10, 50), e("b", 35, null));
  equal(pieces(closed.steps), [[35, 50, "behind"]], "an open error steps the line of closed heel work to its end");
});

test("whiskers are as long as the reply says", () => {
  const s = scene(e("q", 10), e("n", 12), e("a", 15), e("q", 40), e("q", 60), e("n", 63));
  const trial = (/** @type {number} */ a, /** @type {number} */ b, /** @type {number | null} */ latency, /** @type {string} */ grade) => ({ command: "sit", start_us: a, end_us: b, latency_s: latency, grade });
  const d = derive({ cues: { trials: [trial(10, 15, 5e-6, "slow"), trial(40, 50, null, "no-answer"), trial(60, 70, null, "no-answer"), trial(80, 85, null, "unknown")] } }, s);
  equal(d.whiskers.items, [
    { start: 10, end: 15, answered: true, lapsed: false },
    { start: 40, end: 50, answered: false, lapsed: true },
    { start: 60, end: 63, answered: true, lapsed: false },
    { start: 80, end: 85, answered: false, lapsed: false },
  ]);
  equal(derive(null, s).whiskers.items, [], "none before the reply");
  equal(derive({ cues: null, pressure: null }, s).whiskers.items, [], "cues not coded");
});

test("lengths are those of the reply's bouts, of raw events only without one", () => {
  const s = scene(e("h", 0, 100), e("f", 10e6, 12.3e6), e("f", 20e6, 21e6), e("w", 21.2e6, 24e6), e("o", 40e6, 42e6, { kind: "scent" }), e("b", 60e6, null));
  const bout = (/** @type {string} */ kind, /** @type {number} */ a, /** @type {number} */ b) => ({ kind, start_us: a, end_us: b });
  const shown = (/** @type {any} */ m) => derive(m, s).lengths.items.map((l) => [l.kind, `${l.word} ${l.seconds}`.trim(), l.raw]);
  equal(shown({ pressure: { occasions: [bout("error", 10e6, 12.3e6), bout("error", 20e6, 24e6), bout("off_task", 40e6, 42e6), bout("cue", 1, 2), bout("error", 60e6, 99e6)] } }),
    [["ahead", "2.3", false], ["", "4.0", false], ["off-task", "scent 2.0", false]], "bouts, none for one still open");
  equal(shown(null), [["ahead", "2.3", true], ["ahead", "1.0", true], ["wide", "wide 2.8", true], ["off-task", "scent 2.0", true]], "raw");
});

test("the strip in words", () => {
  const at = (/** @type {any} */ x) => describe(/** @type {any} */ (book.item(x)));
  equal(at(e("b", 15.2e6, 18.6e6)), "0:15.200 my b, 3.4 s");
  equal(at(e("p", 18.6e6, 18.6e6, { level: 9, taps: 3 }, "at the gate")), "0:18.600 my p, level 9, 3 taps, correction, at the gate");
  equal(at(e("d", 0, null, { kind: "dog", distance_m: 6 })), "0:00.000 my d, dog, still open, 6 m");
  const s = scene(e("f", 10, 20), e("b", 30, 40), e("q", 50));
  equal(summarize("Strip", s, { from: 0, to: 64e6 }, { from: 0, to: 59.96e6 }), "Strip, 1:04 long: 2 errors, 1 cue. In view 0:00.0 to 1:00.0.");
  equal(summarize("Strip", scene(), clip, clip), "Strip, 0:00 long: nothing coded yet. In view 0:00.0 to 0:00.0.");
  equal(listed(s, { from: 35, to: 45 }).items.map((i) => i.start), [30], "in view");
  const many = scene(...Array.from({ length: 201 }, (_, i) => e("q", i)));
  const { items, all } = listed(many, { from: 0, to: 300 });
  equal([items.length, all], [200, 201], "of very many only the first");
});

test("a place is a stay, a kind given on the event decides", () => {
  const item = book.item(e("h", 0, 1, { kind: "free" }));
  equal(item && trackName(item), "others");
});
