// @ts-check
// A server for tests of the queue: keeps events with revisions, knows an edit by
// its id, refuses what was changed since. It can be away, or answer into the void.

export class FakeServer {
  constructor() {
    this.revision = 0;
    /** @type {Map<string, any>} */
    this.events = new Map();
    /** @type {Map<string, {steps: {id: string, before: any, after: any}[]}>} */
    this.journal = new Map();
    /** @type {string[]} */
    this.done = [];
    /** @type {string[]} */
    this.undone = [];
    /** @type {"here" | "away" | "mute"} mute: does it, but the answer is lost */
    this.way = "here";
    /** @type {any[]} bodies that arrived */
    this.got = [];
    /** @type {(() => void) | null} */
    this.held = null;
    this.hold = false;
    /** @type {string} code that is refused with 422 */
    this.refuses = "";
  }

  /** @type {any} */
  fetch = async (/** @type {string} */ url, /** @type {any} */ init) => {
    if (this.hold) await new Promise((done) => (this.held = () => done(undefined)));
    if (this.way === "away") throw new TypeError("away");
    const body = JSON.parse(init.body);
    this.got.push(body);
    const [status, answer] = this.apply(body);
    if (this.way === "mute") throw new TypeError("cut off");
    return new Response(JSON.stringify(answer), { status });
  };

  /** @param {any} body @returns {[number, any]} */
  apply(body) {
    if (this.journal.has(body.id)) {
      const ids = this.journal.get(body.id)?.steps.map((s) => s.id) ?? [];
      return [200, this.reply(ids, true)];
    }
    /** @type {{id: string, before: any, after: any, was: number}[]} */
    let steps;
    if (body.undo || body.redo) {
      const list = body.undo ? this.done : this.undone;
      const of = this.journal.get(body.undo ?? body.redo);
      if (!of || !list.includes(body.undo ?? body.redo)) return [409, { error: { message: "gone", hint: "" }, revision: this.revision, gone: true, conflicts: [] }];
      steps = of.steps.map((s) => ({ id: s.id, before: s.after, after: s.before, was: s.after?.rev ?? 0 }));
    } else {
      steps = [
        ...body.put.map((/** @type {any} */ p) => ({ id: p.event.id, after: { ...p.event, rev: this.revision + 1 }, was: p.was })),
        ...body.remove.map((/** @type {any} */ r) => ({ id: r.id, after: null, was: r.was })),
      ];
      if (steps.some((s) => s.after && s.after.code === this.refuses)) return [422, { error: { message: "No such thing.", hint: "Leave it." }, problems: [] }];
    }
    const conflicts = steps.filter((s) => (this.events.get(s.id)?.rev ?? 0) !== s.was)
      .map((s) => ({ id: s.id, yours: s.after && { ...s.after, rev: undefined }, now: this.events.get(s.id) ?? null }));
    if (conflicts.length > 0) return [409, { error: { message: "changed", hint: "" }, revision: this.revision, gone: false, conflicts }];
    for (const s of steps) {
      s.before = this.events.get(s.id) ?? null;
      if (s.after) this.events.set(s.id, s.after);
      else this.events.delete(s.id);
    }
    this.revision++;
    this.journal.set(body.id, { steps });
    if (body.undo) {
      this.done = this.done.filter((x) => x !== body.undo);
      this.undone.push(body.id);
    } else if (body.redo) {
      this.undone = this.undone.filter((x) => x !== body.redo);
      this.done.push(body.id);
    } else if (steps.length > 0) {
      this.done.push(body.id);
      this.undone = [];
    }
    return [200, this.reply(steps.map((s) => s.id), false)];
  }

  /** @param {string[]} ids @param {boolean} repeated */
  reply(ids, repeated) {
    return {
      revision: this.revision, repeated, changed: ids.map((id) => this.events.get(id)).filter(Boolean), removed: ids.filter((id) => !this.events.has(id)),
      window: { start_us: 0, end_us: 1e6 }, finished: false, undo: this.done.at(-1) ?? null, redo: this.undone.at(-1) ?? null, measures: null,
    };
  }

  /** The answer to GET of the reading. */
  reading() {
    return { reading: { id: "r", events: [...this.events.values()], window: { start_us: 0, end_us: 1e6 }, finished: false }, revision: this.revision, undo: this.done.at(-1) ?? null, redo: this.undone.at(-1) ?? null, measures: null };
  }

  /** Another page puts an event. @param {any} event */
  other(event) {
    const was = this.events.get(event.id)?.rev ?? 0;
    this.apply({ id: `other-${this.revision}`, put: [{ event, was }], remove: [] });
  }
}

/** A storage that is empty and belongs to one test. @returns {any} */
export function memory() {
  /** @type {Map<string, string>} */
  const map = new Map();
  return {
    map,
    get length() { return map.size; },
    key: (/** @type {number} */ i) => [...map.keys()][i] ?? null,
    getItem: (/** @type {string} */ k) => map.get(k) ?? null,
    setItem: (/** @type {string} */ k, /** @type {string} */ v) => map.set(k, v),
    removeItem: (/** @type {string} */ k) => map.delete(k),
  };
}
