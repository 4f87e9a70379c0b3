// @ts-check
// The book while it is being changed: its steps, back and forth, and a copy in
// the browser's own storage, so that closing the page loses nothing.

/** @typedef {any} BookJSON a codebook as in a reading file */

const LIMIT = 500; // steps that can be taken back

export class Draft {
  /**
   * @param {BookJSON} base the version that is changed
   * @param {number} version its number
   * @param {string} library the library's id
   * @param {Storage} [storage]
   */
  constructor(base, version, library, storage = localStorage) {
    this.base = base;
    this.version = version;
    this.library = library;
    this.storage = storage;
    this.book = structuredClone(base);
    /** @type {{book: BookJSON, label: string}[]} */
    this.past = [];
    /** @type {{book: BookJSON, label: string}[]} */
    this.future = [];
    this.merging = ""; // the field that the last step was typed into
    this.kept = true; // whether the browser could keep the copy
    /** @type {((quiet: boolean) => void)[]} */
    this.listeners = [];
  }

  /**
   * Makes one step. Typing on in one field is one step.
   * @param {string} label what the step does, as in "Undo: …"
   * @param {(book: BookJSON) => void} change changes the book it is given
   * @param {{merge?: string, quiet?: boolean}} [how] quiet: the page shows it already
   */
  change(label, change, { merge = "", quiet = false } = {}) {
    const next = structuredClone(this.book);
    change(next);
    if (JSON.stringify(next) === JSON.stringify(this.book)) return;
    if (merge === "" || merge !== this.merging) {
      this.past.push({ book: this.book, label });
      if (this.past.length > LIMIT) this.past.shift();
    }
    this.merging = merge;
    this.future = [];
    this.book = next;
    this.keep();
    this.tell(quiet);
  }

  /** Ends a step of typing. */
  settle() {
    this.merging = "";
  }

  /** @returns {string} what was taken back, "" if there was nothing */
  undo() {
    return this.step(this.past, this.future);
  }

  /** @returns {string} what was done again, "" if there was nothing */
  redo() {
    return this.step(this.future, this.past);
  }

  /**
   * @param {{book: BookJSON, label: string}[]} from
   * @param {{book: BookJSON, label: string}[]} to
   */
  step(from, to) {
    const last = from.pop();
    if (!last) return "";
    to.push({ book: this.book, label: last.label });
    this.book = last.book;
    this.merging = "";
    this.keep();
    this.tell(false);
    return last.label;
  }

  get dirty() {
    return JSON.stringify(this.book) !== JSON.stringify(this.base);
  }

  /** @param {boolean} quiet */
  tell(quiet) {
    for (const l of this.listeners) l(quiet);
  }

  get key() {
    return `afterwalk.book.${this.library}.${this.version}`;
  }

  /** Keeps a copy in the browser, or takes it away where nothing is changed. */
  keep() {
    try {
      if (this.dirty) this.storage.setItem(this.key, JSON.stringify(this.book));
      else this.storage.removeItem(this.key);
      this.kept = true;
    } catch {
      this.kept = false;
    }
  }

  /** Takes the copy away. */
  forget() {
    this.storage.removeItem(this.key);
  }

  /** @returns {boolean} whether there was a copy of unsaved changes to this version; it is taken up */
  restore() {
    const text = this.storage.getItem(this.key);
    if (!text) return false;
    try {
      const book = JSON.parse(text);
      if (!Array.isArray(book?.lanes)) throw new Error("no book");
      this.past.push({ book: this.book, label: "unsaved changes" });
      this.book = book;
      return this.dirty;
    } catch {
      this.forget();
      return false;
    }
  }

  /** @returns {number | null} an older version that unsaved changes were kept for */
  older() {
    const start = `afterwalk.book.${this.library}.`;
    let found = null;
    for (let i = 0; i < this.storage.length; i++) {
      const key = this.storage.key(i) ?? "";
      const n = Number(key.slice(start.length));
      if (key.startsWith(start) && Number.isInteger(n) && n > 0 && n !== this.version) found = Math.max(found ?? 0, n);
    }
    return found;
  }
}
