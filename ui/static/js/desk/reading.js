// @ts-check
// A reading as the page knows it: what the server has acknowledged, and on top of
// it the edits that are still on their way. What is shown is both together.
import { uuid7 } from "./uuid.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./types.js").Change} Change */
/** @typedef {import("./types.js").Facts} Facts */
/** @typedef {import("./types.js").Rev} Rev */
/** @typedef {import("./types.js").Step} Step */
/** @typedef {import("./types.js").Waiting} Waiting */

export class Reading {
  constructor() {
    this.id = "";
    this.revision = 0; // up to which everything is known
    this.newest = 0; // newest that the server told of; beyond revision, others' edits are missing
    /** @type {Map<string, Event>} acknowledged */
    this.base = new Map();
    this.window = { start_us: 0, end_us: 0 };
    this.finished = false;
    /** @type {any} */
    this.measures = null;
    this.measuresError = "";
    /** @type {Waiting[]} oldest first */
    this.waiting = [];
    /** @type {{window: {start_us: number, end_us: number}, finished: boolean}} */
    this.shown = { window: this.window, finished: false };
    /** @type {readonly Event[]} as shown, in order; replaced by every change */
    this.events = [];
    /** @type {Map<string, Event>} as shown */
    this.byId = new Map();
    /** @type {Map<string, Map<string, number>>} revisions that acknowledged edits gave their events */
    this.given = new Map();
    /** @type {Map<string, {label: string, steps: Step[] | null, facts?: {before: Facts, after: Facts}}>} what edits of this page did */
    this.log = new Map();
    /** @type {string[]} edits that can be undone, as far as this page knows them */
    this.done = [];
    /** @type {string[]} undos that can be redone */
    this.undone = [];
  }

  /** @param {any} reply of GET /api/readings/{id} */
  load(reply) {
    const r = reply.reading;
    this.id = r.id;
    this.revision = reply.revision;
    this.newest = reply.revision;
    this.base = new Map(r.events.map((/** @type {Event} */ e) => [e.id, e]));
    this.window = r.window;
    this.finished = !!(reply.finished ?? r.finished);
    this.measures = reply.measures ?? null;
    this.measuresError = reply.measures_error ?? "";
    if (this.waiting.length === 0) this.tops(reply.undo, reply.redo);
    this.show();
  }

  /**
   * Brings the lists of what can be undone and redone in line with the server's
   * newest of each.
   * @param {string | null | undefined} undo
   * @param {string | null | undefined} redo
   */
  tops(undo, redo) {
    this.done = cutTo(this.done, undo);
    this.undone = cutTo(this.undone, redo);
  }

  /** Puts together what is shown. */
  show() {
    const byId = new Map(this.base);
    let { window, finished } = this;
    for (const w of this.waiting) {
      for (const s of w.steps) {
        if (s.after) byId.set(s.id, s.after);
        else byId.delete(s.id);
      }
      if (w.facts?.after.window) window = w.facts.after.window;
      if (w.facts?.after.finished !== undefined) finished = w.facts.after.finished;
      if (w.reach_us !== undefined && w.reach_us > window.end_us) window = { ...window, end_us: w.reach_us };
    }
    this.byId = byId;
    this.events = [...byId.values()].sort(byStart);
    this.shown = { window, finished };
  }

  /**
   * Makes a waiting edit of a change and shows it.
   * @param {Change & {set?: Facts}} change
   * @param {number} [reach_us]
   * @returns {Waiting | null} null where there is nothing in it
   */
  edit(change, reach_us) {
    if (change.put.length === 0 && change.remove.length === 0 && !change.set && reach_us === undefined) return null;
    const id = uuid7();
    /** @type {Step[]} */
    const steps = [];
    const put = change.put.map((e) => {
      const { rev, ...event } = e;
      const before = this.byId.get(e.id) ?? null;
      steps.push({ id: e.id, before, after: { ...event, rev: { after: id } } });
      return { event, was: before?.rev ?? 0 };
    });
    const remove = [];
    for (const gone of change.remove) {
      const before = this.byId.get(gone) ?? null;
      if (!before) continue;
      steps.push({ id: gone, before, after: null });
      remove.push({ id: gone, was: before.rev ?? 0 });
    }
    /** @type {Waiting} */
    const w = { id, base: this.revision, label: change.label, put, remove, steps };
    if (change.set) {
      w.set = change.set;
      w.facts = { before: this.factsOf(change.set), after: change.set };
    }
    if (reach_us !== undefined) w.reach_us = reach_us;
    if (steps.length > 0 || change.set) {
      this.log.set(id, { label: change.label, steps, facts: w.facts });
      this.done.push(id);
      this.undone = [];
    }
    this.add(w);
    return w;
  }

  /** @param {Facts} like @returns {Facts} the same facts as they are shown now */
  factsOf(like) {
    /** @type {Facts} */
    const facts = {};
    if (like.window) facts.window = this.shown.window;
    if (like.finished !== undefined) facts.finished = this.shown.finished;
    return facts;
  }

  /**
   * The newest edit that can be taken back, or brought back.
   * @param {"undo" | "redo"} way
   * @returns {{id: string, label: string} | null}
   */
  next(way) {
    const id = (way === "undo" ? this.done : this.undone).at(-1);
    return id === undefined ? null : { id, label: this.log.get(id)?.label ?? "" };
  }

  /**
   * Makes a waiting edit that undoes or redoes the newest one.
   * @param {"undo" | "redo"} way
   * @returns {Waiting | null} null where there is none that this page knows of
   */
  turn(way) {
    const next = this.next(way);
    if (!next) return null;
    const of = this.log.get(next.id);
    const id = uuid7();
    const steps = of?.steps ? of.steps.map((s) => ({ id: s.id, before: s.after, after: s.before })) : null;
    const facts = of?.facts && { before: of.facts.after, after: of.facts.before };
    (way === "undo" ? this.done : this.undone).pop();
    (way === "undo" ? this.undone : this.done).push(id);
    this.log.set(id, { label: next.label, steps, facts });
    /** @type {Waiting} */
    const w = { id, base: this.revision, label: `${way} of ${next.label || "the edit before"}`, put: [], remove: [], steps: steps ?? [], facts, [way]: next.id };
    this.add(w);
    return w;
  }

  /** @param {Waiting} w */
  add(w) {
    this.waiting.push(w);
    this.show();
  }

  /**
   * Puts edits that an earlier page left before those made since.
   * @param {Waiting[]} edits
   */
  adopt(edits) {
    this.waiting = [...this.waiting, ...edits].sort((a, b) => (a.id < b.id ? -1 : 1));
    for (const w of edits) if (!this.log.has(w.id)) this.log.set(w.id, { label: w.label, steps: w.steps.length > 0 ? w.steps : null, facts: w.facts });
    this.show();
  }

  /**
   * The number of a revision, for sending.
   * @param {string} id of the event
   * @param {Rev} rev
   */
  number(id, rev) {
    return typeof rev === "number" ? rev : this.given.get(rev.after)?.get(id) ?? 0;
  }

  /** @param {Waiting} w @returns {object} as the server wants it */
  body(w) {
    /** @type {Record<string, any>} */
    const body = { id: w.id, base: w.base };
    if (w.undo) return { ...body, undo: w.undo };
    if (w.redo) return { ...body, redo: w.redo };
    body.put = w.put.map(({ event, was }) => ({ event, was: this.number(event.id, was) }));
    body.remove = w.remove.map(({ id, was }) => ({ id, was: this.number(id, was) })).filter((r) => r.was > 0);
    if (w.set) body.set = w.set;
    if (w.reach_us !== undefined) body.reach_us = w.reach_us;
    return body;
  }

  /**
   * The oldest waiting edit has been acknowledged. Edits that stand on it learn
   * its revisions.
   * @param {any} reply
   * @returns {{missed: boolean, changed: Waiting[]}} whether others' edits lie
   *   between, and the waiting edits that have to be kept anew
   */
  acknowledge(reply) {
    const w = /** @type {Waiting} */ (this.waiting.shift());
    const missed = reply.revision > this.revision + 1;
    const revs = new Map(reply.changed.map((/** @type {any} */ e) => [e.id, e.rev]));
    this.given.set(w.id, revs);
    if (reply.revision > this.revision) { // otherwise it was in what has been fetched since
      for (const e of reply.changed) this.base.set(e.id, e);
      for (const id of reply.removed) this.base.delete(id);
    }
    if (!missed) this.revision = Math.max(this.revision, reply.revision);
    this.newest = Math.max(this.newest, reply.revision);
    this.window = reply.window ?? this.window;
    this.finished = reply.finished ?? this.finished;
    this.measures = reply.measures ?? null;
    this.measuresError = reply.measures_error ?? "";
    const changed = this.waiting.filter((later) => settle(later, w.id, revs));
    if (this.waiting.length === 0) this.tops(reply.undo, reply.redo);
    this.show();
    return { missed, changed };
  }

  /**
   * Takes a waiting edit out of view, with everything that stands on it.
   * @param {string} id
   * @returns {Waiting[]} what was taken out, oldest first
   */
  refuse(id) {
    const gone = new Set([id]);
    const out = this.waiting.filter((w) => {
      const stands = w.id === id || (w.undo && gone.has(w.undo)) || (w.redo && gone.has(w.redo)) ||
        [...w.put.map((p) => p.was), ...w.remove.map((r) => r.was)].some((was) => typeof was !== "number" && gone.has(was.after));
      if (stands) gone.add(w.id);
      return stands;
    });
    this.waiting = this.waiting.filter((w) => !gone.has(w.id));
    this.done = this.done.filter((x) => !gone.has(x));
    this.undone = this.undone.filter((x) => !gone.has(x));
    this.show();
    return out;
  }

  /** Takes the events' order of what `id` an event has: as shown. @param {string} id */
  get(id) {
    return this.byId.get(id) ?? null;
  }
}

/**
 * Order of events: start, end with open ones last, id.
 * @param {Event} a
 * @param {Event} b
 */
export const byStart = (a, b) => a.start_us - b.start_us || (a.end_us ?? Infinity) - (b.end_us ?? Infinity) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

/**
 * A list up to and including its last `top`; only `top` if it isn't in there.
 * @param {string[]} list
 * @param {string | null | undefined} top
 */
function cutTo(list, top) {
  if (!top) return [];
  const i = list.lastIndexOf(top);
  return i < 0 ? [top] : list.slice(0, i + 1);
}

/**
 * Replaces “after that edit” by the number that it got.
 * @param {Waiting} w
 * @param {string} edit
 * @param {Map<string, number>} revs
 * @returns {boolean} whether anything was replaced
 */
function settle(w, edit, revs) {
  let changed = false;
  const of = (/** @type {string} */ id, /** @type {Rev | undefined} */ rev) => {
    if (rev === undefined || typeof rev === "number" || rev.after !== edit) return rev;
    changed = true;
    return revs.get(id) ?? 0;
  };
  for (const p of w.put) p.was = of(p.event.id, p.was) ?? 0;
  for (const r of w.remove) r.was = of(r.id, r.was) ?? 0;
  for (const s of w.steps) {
    for (const e of [s.before, s.after]) if (e) e.rev = of(s.id, e.rev);
  }
  return changed;
}
