// @ts-check
// Edits on their way: nothing is lost, nothing is done twice, and what somebody
// else did is never overwritten unasked.
import { test, equal, ok } from "../assert.js";
import { Reading } from "/assets/js/desk/reading.js";
import { Queue } from "/assets/js/desk/queue.js";
import { Shelf } from "/assets/js/desk/shelf.js";
import { FakeServer, memory } from "./fakeserver.js";

/** A page on a server; its storage may be shared with others. */
class Page {
  /** @param {FakeServer} server @param {any} [storage] @param {string} [name] */
  constructor(server, storage = memory(), name = "page") {
    this.server = server;
    this.storage = storage;
    this.ends = new AbortController();
    this.reading = new Reading();
    this.reading.load(server.reading());
    this.shelf = new Shelf("lib", "r", name, storage);
    /** @type {string[]} */
    this.refused = [];
    this.stale = 0;
    this.queue = new Queue("/edits", this.reading, this.shelf, {
      changed: () => {}, clash: () => {}, stale: () => this.stale++,
      refused: (out, error) => this.refused.push(`${out.map((w) => w.label).join(", ")}: ${error.message}`),
    }, this.ends.signal, server.fetch);
  }

  /** @param {string} id @param {string} code @param {number} [start] */
  put(id, code, start = 1) {
    const before = this.reading.get(id);
    this.queue.add(this.reading.edit({ put: [{ ...before, id, code, start_us: start, end_us: start }], remove: [], label: `${id} ${code}` }));
  }

  /** @param {string} id */
  remove(id) {
    this.queue.add(this.reading.edit({ put: [], remove: [id], label: `remove ${id}` }));
  }

  /** @param {"undo" | "redo"} way */
  turn(way) {
    this.queue.add(this.reading.turn(way));
  }

  shown() {
    return this.reading.events.map((e) => `${e.id} ${e.code}`).join(", ");
  }

  async rest() {
    for (let i = 0; i < 400 && (this.queue.running || this.reading.waiting.length > 0) && !this.queue.clash; i++) await new Promise((done) => setTimeout(done, 5));
  }

  kept() {
    return [...this.storage.map.values()].map((v) => JSON.parse(v).label).join(", ");
  }
}

/** @param {FakeServer} server */
const stored = (server) => [...server.events.values()].map((e) => `${e.id} ${e.code}`).sort().join(", ");

test("shown at once, kept before it is sent, dropped when acknowledged", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.hold = true;
  p.put("a", "w");
  equal([p.shown(), p.kept(), stored(server)], ["a w", "a w", ""]);
  server.hold = false;
  server.held?.();
  await p.rest();
  equal([p.shown(), p.kept(), stored(server)], ["a w", "", "a w"]);
  equal([p.queue.state, p.reading.revision, p.reading.window.end_us], ["idle", 1, 1e6]);
});

test("one at a time and in order; a later one names the revision of the one before", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  p.put("a", "w");
  p.put("a", "s");
  p.put("b", "x");
  p.remove("a");
  await p.rest();
  equal(server.got.map((b) => [b.base, b.put.map((/** @type {any} */ x) => [x.event.id, x.was]), b.remove.map((/** @type {any} */ x) => [x.id, x.was])]),
    [[0, [["a", 0]], []], [0, [["a", 1]], []], [0, [["b", 0]], []], [0, [], [["a", 2]]]]);
  equal([stored(server), p.shown()], ["b x", "b x"]);
});

test("while the server is away edits wait, and go out when it is back", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.way = "away";
  for (const id of ["a", "b", "c"]) p.put(id, "w");
  await new Promise((done) => setTimeout(done, 20));
  equal([p.queue.state, p.reading.waiting.length, p.kept()], ["away", 3, "a w, b w, c w"]);
  server.way = "here";
  p.queue.now();
  await p.rest();
  equal([stored(server), p.kept(), p.queue.state], ["a w, b w, c w", "", "idle"]);
});

test("it tries by itself too", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.way = "away";
  p.put("a", "w");
  await new Promise((done) => setTimeout(done, 20));
  server.way = "here";
  await p.rest();
  equal(stored(server), "a w");
});

test("an answer that was lost: sent again, done once", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.way = "mute";
  p.put("a", "w");
  p.put("a", "s");
  await new Promise((done) => setTimeout(done, 20));
  server.way = "here";
  p.queue.now();
  await p.rest();
  equal([stored(server), server.revision, new Set(server.got.map((b) => b.id)).size], ["a s", 2, 2]);
  ok(server.got.length > 2, "sent again");
});

test("a reload loses nothing, and the next page sends it", async () => {
  const server = new FakeServer();
  const before = new Page(server);
  server.way = "away";
  before.put("a", "w");
  before.put("a", "s");
  before.put("b", "x");
  before.ends.abort(); // the page is gone
  server.way = "here";
  const after = new Page(server, before.storage, "next");
  after.queue.adopt(after.shelf.take("page"));
  equal(after.shown(), "a s, b x", "shown before it is sent");
  await after.rest();
  equal([stored(server), after.kept(), server.revision], ["a s, b x", "", 3]);
});

test("what stands on an edit that was acknowledged is kept with its revision", async () => {
  const server = new FakeServer();
  const before = new Page(server);
  server.hold = true;
  before.put("a", "w");
  before.put("a", "s");
  before.put("a", "x");
  server.hold = false;
  before.queue.send = () => Promise.reject(new TypeError("away")); // the first is on its way already
  server.held?.();
  for (let i = 0; i < 400 && before.queue.state !== "away"; i++) await new Promise((done) => setTimeout(done, 5));
  before.ends.abort();
  equal([stored(server), before.kept()], ["a w", "a s, a x"]);
  const after = new Page(server, before.storage, "next");
  after.queue.adopt(after.shelf.take("page"));
  await after.rest();
  equal([stored(server), after.queue.state, server.got.map((b) => b.put[0].was)], ["a x", "idle", [0, 1, 2]]);
});

test("a page takes over what a page that is gone has left, not what a living one has", async () => {
  const server = new FakeServer();
  server.way = "away";
  const storage = memory();
  const gone = new Page(server, storage, `gone-${Math.random()}`);
  const living = new Page(server, storage, `living-${Math.random()}`);
  await living.shelf.adopt(() => {}, living.ends.signal);
  gone.put("a", "w");
  living.put("b", "w");
  gone.ends.abort();
  const next = new Page(server, storage, `next-${Math.random()}`);
  /** @type {string[]} */
  const got = [];
  next.shelf.adopt((edits) => got.push(...edits.map((w) => w.label)), next.ends.signal);
  const wait = async (/** @type {number} */ n) => {
    for (let i = 0; i < 400 && got.length < n; i++) await new Promise((done) => setTimeout(done, 5));
  };
  await wait(1);
  await new Promise((done) => setTimeout(done, 30)); // for what must not come
  equal(got, ["a w"]);
  living.ends.abort(); // lets its lock go, as a closed page does
  await wait(2);
  equal(got, ["a w", "b w"], "once it is gone as well");
  next.ends.abort();
});

test("what is damaged in the storage is left alone", () => {
  const p = new Page(new FakeServer());
  for (const [id, text] of [["1", "{"], ["2", "null"], ["3", '{"id":"other"}'], ["4", '{"id":"4"}']]) p.storage.setItem(p.shelf.keyOf(id, "old"), text);
  equal(p.shelf.take("old"), []);
  equal(p.storage.map.size, 4);
});

test("edits of another reading are told of", () => {
  const storage = memory();
  new Shelf("lib", "other", "p", storage).keep({ id: "1", base: 0, label: "", put: [], remove: [], steps: [] });
  new Shelf("elsewhere", "third", "p", storage).keep({ id: "2", base: 0, label: "", put: [], remove: [], steps: [] });
  equal(new Shelf("lib", "r", "q", storage).elsewhere(), ["other"], "of this library");
});

test("a full storage is noticed", () => {
  const storage = memory();
  storage.setItem = () => {
    throw new DOMException("full", "QuotaExceededError");
  };
  const p = new Page(new FakeServer(), storage);
  p.put("a", "w");
  equal([p.shelf.works, p.shown()], [false, "a w"]);
});

test("a refused edit goes out of view with what stands on it", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.refuses = "bad";
  p.put("a", "w");
  await p.rest();
  p.put("b", "bad");
  p.put("b", "s"); // stands on it
  p.put("c", "x");
  await p.rest();
  equal([stored(server), p.shown(), p.kept()], ["a w, c x", "a w, c x", ""]);
  equal(p.refused, ["b bad, b s: No such thing."]);
  equal(p.stale, 1, "what is there now is asked for");
});

test("edits on different events don't get in each other's way", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.other({ id: "x", code: "theirs", start_us: 0, end_us: 0 });
  p.put("a", "w");
  await p.rest();
  equal([stored(server), p.stale], ["a w, x theirs", 1]);
  equal([p.reading.revision, p.reading.newest], [0, 2], "known up to, and newest told of");
  p.reading.load(server.reading());
  equal([p.shown(), p.reading.revision], ["x theirs, a w", 2]);
});

test("an answer that was fetched before the reply came", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  server.hold = true;
  p.put("a", "w");
  server.hold = false;
  const reply = server.apply(p.reading.body(p.reading.waiting[0])); // stored, the reply still on its way
  server.other({ id: "a", code: "theirs", start_us: 1, end_us: 1 });
  p.reading.load(server.reading());
  equal(reply[0], 200);
  p.reading.acknowledge(reply[1]);
  equal([p.shown(), p.reading.revision], ["a theirs", 2], "what came later stays");
});

/** Two pages change event a; this page's edit comes second, and another stands on it. */
async function clash() {
  const server = new FakeServer();
  server.other({ id: "a", code: "first", start_us: 1, end_us: 1 });
  const p = new Page(server);
  server.other({ id: "a", code: "theirs", start_us: 1, end_us: 1 });
  p.put("a", "mine");
  p.put("a", "mine2");
  p.put("b", "x");
  await p.rest();
  return { server, p };
}

test("a conflict stops the queue and shows both", async () => {
  const { p, server } = await clash();
  equal([p.queue.state, p.reading.waiting.length], ["conflict", 3]);
  equal(p.queue.clash?.conflicts.map((c) => [c.id, c.yours.code, c.now.code]), [["a", "mine", "theirs"]]);
  equal(stored(server), "a theirs", "nothing was stored");
});

test("keep mine", async () => {
  const { p, server } = await clash();
  p.queue.resolve(new Set(["a"]));
  await p.rest();
  equal([stored(server), p.shown(), p.kept(), p.queue.state], ["a mine2, b x", "a mine2, b x", "", "idle"]);
});

test("keep theirs", async () => {
  const { p, server } = await clash();
  p.queue.resolve(new Set());
  await p.rest();
  equal([stored(server), p.shown(), p.kept(), p.queue.state], ["a theirs, b x", "a theirs, b x", "", "idle"]);
});

test("an event that another page removed", async () => {
  for (const [mine, want] of /** @type {[string[], string][]} */ ([[["a"], "a mine"], [[], ""]])) {
    const server = new FakeServer();
    server.other({ id: "a", code: "first", start_us: 1, end_us: 1 });
    const p = new Page(server);
    server.apply({ id: "gone", put: [], remove: [{ id: "a", was: 1 }] });
    p.put("a", "mine");
    await p.rest();
    equal(p.queue.clash?.conflicts.map((c) => c.now), [null]);
    p.queue.resolve(new Set(mine));
    await p.rest();
    equal([stored(server), p.shown()], [want, want], `mine ${mine}`);
  }
});

test("undo and redo are shown at once and sent like any edit", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  p.put("a", "w");
  p.put("b", "s");
  await p.rest();
  p.turn("undo");
  equal(p.shown(), "a w");
  p.turn("undo");
  equal([p.shown(), p.reading.turn("undo")], ["", null]);
  p.turn("redo");
  p.turn("redo");
  equal(p.shown(), "a w, b s");
  p.turn("undo");
  await p.rest();
  equal([stored(server), p.shown(), server.revision], ["a w", "a w", 7]);
  equal([p.reading.next("undo")?.label, p.reading.next("redo")?.label], ["a w", "b s"]);
  p.put("c", "x");
  equal(p.reading.next("redo"), null, "a new edit clears redo");
  await p.rest();
  equal(stored(server), "a w, c x");
});

test("undo while the server is away, of edits that wait", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  p.put("a", "w");
  await p.rest();
  server.way = "away";
  p.put("a", "s");
  p.turn("undo");
  p.put("a", "x"); // stands on the first content again
  equal(p.shown(), "a x");
  server.way = "here";
  p.queue.now();
  await p.rest();
  equal([stored(server), p.queue.state], ["a x", "idle"]);
});

test("undo of what was done before the page was opened", async () => {
  const server = new FakeServer();
  const first = new Page(server);
  first.put("a", "w");
  first.put("b", "s");
  await first.rest();
  const p = new Page(server);
  p.turn("undo");
  await p.rest();
  equal([stored(server), p.shown()], ["a w", "a w"]);
  p.turn("undo");
  await p.rest();
  p.turn("redo");
  await p.rest();
  equal([stored(server), p.shown()], ["a w", "a w"]);
});

test("undo against a later change", async () => {
  for (const [mine, want] of /** @type {[string[], string][]} */ ([[["a"], "a w"], [[], "a theirs"]])) {
    const server = new FakeServer();
    const p = new Page(server);
    p.put("a", "w");
    p.put("a", "s");
    await p.rest();
    server.other({ id: "a", code: "theirs", start_us: 1, end_us: 1 });
    p.turn("undo");
    await p.rest();
    equal(p.queue.clash?.conflicts.map((c) => [c.yours.code, c.now.code]), [["w", "theirs"]]);
    p.queue.resolve(new Set(mine));
    await p.rest();
    equal([stored(server), p.shown(), p.kept(), p.queue.state], [want, want, "", "idle"], `mine ${mine}`);
  }
});

test("an undo that can't be done any more is told and dropped", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  p.put("a", "w");
  await p.rest();
  server.apply({ id: "elsewhere", undo: server.done.at(-1) });
  p.turn("undo");
  await p.rest();
  equal([p.refused, p.kept(), p.stale > 0], [["undo of a w: gone"], "", true]);
});

test("many edits, many interruptions", async () => {
  const server = new FakeServer();
  const p = new Page(server);
  for (let i = 0; i < 60; i++) {
    server.way = /** @type {const} */ (["here", "away", "mute"])[i % 3];
    p.put(`e${String(i % 7)}`, `c${i}`);
    if (i % 5 === 0) p.queue.now();
    await new Promise((done) => setTimeout(done, 1));
  }
  server.way = "here";
  p.queue.now();
  await p.rest();
  // The last of each: i with the same remainder of 7, from 53 to 59.
  equal(stored(server), "e0 c56, e1 c57, e2 c58, e3 c59, e4 c53, e5 c54, e6 c55");
  equal([server.revision, p.kept()], [60, ""]);
});
