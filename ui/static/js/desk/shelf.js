// @ts-check
// Where edits are kept in the browser until the server has acknowledged them.
// Each page keeps its own; what a page that is gone has left is taken over by one
// that is open. A page holds a lock for as long as it lives, so the others can
// tell.

/** @typedef {import("./types.js").Waiting} Waiting */

const PREFIX = "afterwalk-edit";
const LOCK = "afterwalk-desk";

export class Shelf {
  /**
   * @param {string} library
   * @param {string} reading
   * @param {string} page id of this page, unlike any other
   * @param {Storage | null} [storage]
   */
  constructor(library, reading, page, storage = safeStorage()) {
    this.library = library;
    this.reading = reading;
    this.page = page;
    this.storage = storage;
    /** false where the browser would not take an edit: it is kept by this page alone then */
    this.works = storage !== null;
  }

  /** @param {string} id @param {string} [page] */
  keyOf(id, page = this.page) {
    return [PREFIX, this.library, this.reading, page, id].join("/");
  }

  /** @param {Waiting} edit */
  keep(edit) {
    try {
      this.storage?.setItem(this.keyOf(edit.id), JSON.stringify(edit));
    } catch {
      this.works = false; // full, or not allowed
    }
  }

  /** @param {string} id */
  drop(id) {
    this.storage?.removeItem(this.keyOf(id));
  }

  /**
   * Every key in the storage that holds an edit of this library, taken apart.
   * @returns {{key: string, reading: string, page: string, id: string}[]}
   */
  list() {
    const found = [];
    for (let i = 0; i < (this.storage?.length ?? 0); i++) {
      const key = this.storage?.key(i) ?? "";
      const [prefix, library, reading, page, id] = key.split("/");
      if (prefix === PREFIX && library === this.library && id) found.push({ key, reading, page, id });
    }
    return found.sort((a, b) => (a.id < b.id ? -1 : 1));
  }

  /** Readings of this library, other than this one, for which edits wait. */
  elsewhere() {
    return [...new Set(this.list().map((k) => k.reading))].filter((r) => r !== this.reading);
  }

  /**
   * Takes over the edits of pages that are gone, one page at a time, now or when
   * it goes.
   * @param {(edits: Waiting[]) => void} got in the order they were made
   * @param {AbortSignal} signal
   */
  async adopt(got, signal) {
    const locks = navigator.locks;
    if (!this.storage || !locks) return;
    // Held until this page is gone.
    locks.request(`${LOCK}/${this.page}`, { signal }, () => new Promise((done) => signal.addEventListener("abort", done))).catch(() => {});
    const pages = new Set(this.list().filter((k) => k.reading === this.reading && k.page !== this.page).map((k) => k.page));
    await Promise.allSettled([...pages].map((page) => locks.request(`${LOCK}/${page}`, { signal }, () => got(this.take(page)))));
  }

  /**
   * Makes another page's edits this page's own.
   * @param {string} page
   * @returns {Waiting[]}
   */
  take(page) {
    /** @type {Waiting[]} */
    const edits = [];
    for (const k of this.list()) {
      if (k.reading !== this.reading || k.page !== page) continue;
      try {
        const edit = JSON.parse(this.storage?.getItem(k.key) ?? "");
        if (edit?.id !== k.id || !Array.isArray(edit.put) || !Array.isArray(edit.remove) || !Array.isArray(edit.steps)) throw new Error("not an edit");
        this.keep(edit);
        edits.push(edit);
      } catch {
        continue; // not ours to judge: it stays where it is
      }
      this.storage?.removeItem(k.key);
    }
    return edits;
  }
}

/** @returns {Storage | null} */
function safeStorage() {
  try {
    return window.localStorage;
  } catch {
    return null; // switched off
  }
}
