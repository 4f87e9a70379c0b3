// @ts-check
// A change of a reading's events while it is being put together.

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./types.js").Change} Change */

export class Draft {
  /** @param {readonly Event[]} events as they are; not changed */
  constructor(events) {
    this.before = events;
    /** @type {Map<string, Event | null>} */
    this.touched = new Map();
    /** @type {Map<string, Event> | null} */
    this.byId = null;
  }

  /** Every event as it would be after the change, in no order. */
  *all() {
    for (const e of this.before) {
      const now = this.touched.get(e.id);
      if (now === undefined) yield e;
      else if (now) yield now;
    }
    for (const [id, e] of this.touched) if (e && !this.has(id)) yield e;
  }

  /** @param {string} id */
  get(id) {
    const now = this.touched.get(id);
    return now !== undefined ? now : this.index().get(id) ?? null;
  }

  /** @param {Event} e */
  put(e) {
    this.touched.set(e.id, e);
  }

  /** @param {string} id */
  remove(id) {
    this.touched.set(id, null);
  }

  /** @param {string} label @returns {Change} */
  change(label) {
    const put = [];
    const remove = [];
    for (const [id, e] of this.touched) {
      if (e) put.push(e);
      else if (this.has(id)) remove.push(id);
    }
    return { put, remove, label };
  }

  /** @param {string} id whether it was there before */
  has(id) {
    return this.index().has(id);
  }

  index() {
    return (this.byId ??= new Map(this.before.map((e) => [e.id, e])));
  }
}
