// @ts-check
// The bar at the foot: undo, redo, what changed, save; and the two sides where
// another page saved in the meantime.
import { el, setText } from "../../shared/dom.js";
import { Wrong, ask, words } from "../ask.js";

/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {import("./editor.js").Change} Change */

/** @param {number} n */
const changesOf = (n) => (n === 1 ? "1 change" : `${n} changes`);

/** @param {Change[]} changes */
const list = (changes) => el("ul", { class: "changes" }, ...changes.map((c) => el("li", {}, c.says)));

export class SaveBar {
  /**
   * @param {Editor} ed
   * @param {() => void} leaving called before the page is left by saving
   */
  constructor(ed, leaving) {
    this.ed = ed;
    this.leaving = leaving;
    const { draft } = ed;
    this.undo = el("button", { type: "button", id: "undo", onclick: () => this.step("undo") }, "Undo");
    this.redo = el("button", { type: "button", id: "redo", onclick: () => this.step("redo") }, "Redo");
    this.count = el("span", { class: "count" });
    this.drop = el("button", { type: "button", id: "throw-away", onclick: () => {
      draft.change("throwing changes away", (b) => {
        for (const k of Object.keys(b)) delete b[k];
        Object.assign(b, structuredClone(draft.base));
      });
      ed.view.raw.clear();
      ed.draw();
      ed.say("Your changes are thrown away. Undo brings them back.");
    } }, "Throw changes away");
    this.save = el("button", { type: "button", id: "save", class: "main", onclick: () => this.look() }, "Save…");
    this.dialog = el("dialog", { id: "save-dialog", "aria-labelledby": "save-title" });
    this.conflict = el("div", { id: "conflict", tabindex: "-1" });
    this.node = el("div", { class: "save-bar", role: "region", "aria-label": "Changes" }, this.undo, this.redo, this.count, ed.status, this.drop, this.save);
    ed.root.prepend(this.conflict);
    ed.root.append(this.node, this.dialog);
    ed.news.push(() => this.update());
    document.addEventListener("keydown", (e) => this.key(e));
    this.update();
  }

  /** @param {"undo" | "redo"} which */
  step(which) {
    const label = this.ed.draft[which]();
    this.ed.view.raw.clear();
    this.ed.view.clash = null;
    this.ed.draw();
    if (label) this.ed.say(which === "undo" ? `Taken back: ${label}.` : `Done again: ${label}.`);
    this.update();
  }

  /** @param {KeyboardEvent} e keys as everywhere; in a field of text they are the field's own */
  key(e) {
    if (!(e.ctrlKey || e.metaKey) || e.altKey || this.dialog.open) return;
    const key = e.key.toLowerCase();
    const at = /** @type {HTMLElement} */ (e.target);
    if (key === "s") {
      e.preventDefault();
      this.look();
    } else if ((key === "z" || key === "y") && !at.closest("textarea, input[type=text], input[type=search]")) {
      e.preventDefault();
      this.step(key === "y" || e.shiftKey ? "redo" : "undo");
    }
  }

  update() {
    const { ed } = this;
    const { draft } = ed;
    this.undo.disabled = draft.past.length === 0;
    this.redo.disabled = draft.future.length === 0;
    this.undo.title = draft.past.length > 0 ? `Undo: ${draft.past[draft.past.length - 1].label}` : "";
    this.redo.title = draft.future.length > 0 ? `Redo: ${draft.future[draft.future.length - 1].label}` : "";
    this.drop.hidden = !draft.dirty;
    const n = ed.wrongs().length;
    setText(this.count, !draft.dirty && n === 0 ? `As version ${draft.version}`
      : ed.failed ? ed.failed
      : !ed.current ? "Not saved yet"
      : `${changesOf(ed.changes.length)}, not saved yet${n > 0 ? `; ${n} to put right` : ""}${draft.kept ? "" : "; this browser can't keep them: save before you leave"}`);
  }

  /** Shows what changed, or what is to be put right first. */
  async look() {
    const { ed } = this;
    await ed.check();
    if (ed.failed) {
      ed.say(ed.failed);
      return;
    }
    if (ed.wrongs().length > 0) {
      ed.say("Nothing was saved: see what is to be put right.");
      ed.parts.summary.scrollIntoView({ block: "start" });
      ed.parts.summary.focus();
      return;
    }
    if (ed.changes.length === 0 && !ed.draft.dirty) {
      ed.say(`Nothing has changed since version ${ed.draft.version}, so nothing was saved.`);
      return;
    }
    const says = el("p", { class: "wrong-text", role: "alert" });
    const go = el("button", { type: "button", class: "main", id: "save-now", onclick: async () => {
      go.disabled = true;
      setText(says, await this.send());
      go.disabled = false;
    } }, `Save as version ${ed.draft.version + 1}`);
    this.dialog.replaceChildren(el("h2", { id: "save-title" }, `${changesOf(ed.changes.length)} from version ${ed.draft.version}`), list(ed.changes),
      el("p", { class: "muted" }, "New readings take the new version. Readings that are there keep theirs."), says,
      el("p", { class: "dialog-buttons" }, go, el("button", { type: "button", onclick: () => this.dialog.close() }, "Go on changing")));
    this.dialog.showModal();
    go.focus();
  }

  /** @returns {Promise<string>} what went wrong */
  async send() {
    const { draft } = this.ed;
    let reply;
    try {
      reply = await fetch("/api/book", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ base: draft.version, book: draft.book }) });
    } catch {
      return words(new Wrong("afterwalk does not answer. Your changes are kept in this browser.", "Start it again, then save once more."));
    }
    const data = await reply.json().catch(() => null);
    if (reply.status === 409) {
      this.dialog.close();
      this.clash(data);
      return "";
    }
    if (!reply.ok) return `${data?.error?.message ?? `The answer was ${reply.status}.`} ${data?.error?.hint ?? ""} Nothing was saved.`;
    draft.forget();
    this.leaving();
    location.assign(`/book?saved=${data.same ? 0 : 1}`);
    return "";
  }

  /**
   * Shows both sides: what newer versions changed, and what this page changed.
   * @param {{newest: number, theirs: Change[], yours: Change[]}} both
   */
  clash({ newest, theirs, yours }) {
    const { draft } = this.ed;
    const over = el("button", { type: "button", id: "put-over", onclick: async () => {
      const book = await ask("/api/book");
      draft.forget();
      draft.base = book;
      draft.version = book.version;
      draft.keep();
      this.conflict.replaceChildren();
      await this.ed.check();
      this.look();
    } }, `Put mine over version ${newest}`);
    const theirsOnly = el("button", { type: "button", id: "take-theirs", onclick: () => {
      draft.forget();
      this.leaving();
      location.assign("/book");
    } }, `Take version ${newest}, throw mine away`);
    this.conflict.replaceChildren(el("div", { class: "notice wrong both" },
      el("h2", {}, `Version ${newest} was saved on another page`),
      el("p", {}, `Yours starts from version ${draft.version} and is not saved.`),
      el("h3", {}, `What version ${newest} changed`), theirs.length > 0 ? list(theirs) : el("p", {}, "Nothing that can be told."),
      el("h3", {}, "What you changed"), yours.length > 0 ? list(yours) : el("p", {}, "Nothing."),
      el("p", { class: "muted" }, "Putting yours over it takes its changes back where they differ; you see what that changes before it is saved."),
      el("p", {}, over, " ", theirsOnly)));
    this.conflict.scrollIntoView({ block: "start" });
    this.conflict.focus();
  }

  /** A newer version was saved elsewhere. @param {number} version */
  async newer(version) {
    const { ed } = this;
    if (version <= ed.draft.version) return;
    if (!ed.draft.dirty) {
      this.conflict.replaceChildren(el("div", { class: "notice", role: "status" }, el("p", {}, `Version ${version} was saved on another page. `, el("a", { href: "/book" }, "Show it"))));
      return;
    }
    const reply = await ask("/api/book/check", { body: { base: ed.draft.version, book: ed.draft.book } });
    if (reply.theirs) this.clash({ newest: reply.newest, theirs: reply.theirs, yours: reply.changes });
  }
}
