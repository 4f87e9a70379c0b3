// @ts-check
// What the desk has to say: the line of announcements, and notices that stay
// until they are dealt with.
import { el, setText } from "../shared/dom.js";

/** @typedef {import("./types.js").Waiting} Waiting */

export class Notices {
  /**
   * @param {HTMLElement} root for notices
   * @param {HTMLElement} line a status element for announcements
   */
  constructor(root, line) {
    this.root = root;
    this.line = line;
    /** @type {Map<string, HTMLElement>} by what they are about */
    this.shown = new Map();
  }

  /** @param {string} text @param {boolean} [wrong] */
  say(text, wrong = false) {
    if (text === "") return;
    setText(this.line, "");
    setText(this.line, text);
    this.line.classList.toggle("wrong-text", wrong);
  }

  /**
   * One notice for each subject; none for an empty text.
   * @param {string} about
   * @param {string} text
   * @param {{wrong?: boolean, more?: Node[], close?: boolean}} [how]
   */
  notice(about, text, { wrong = true, more = [], close = false } = {}) {
    this.shown.get(about)?.remove();
    this.shown.delete(about);
    if (text === "") return;
    const node = el("div", { class: wrong ? "notice wrong" : "notice", role: wrong ? "alert" : "status", "data-about": about }, el("p", {}, text, ...more),
      close && el("button", { type: "button", onclick: () => this.notice(about, "") }, "close"));
    this.shown.set(about, node);
    this.root.append(node);
    // Where they need more room than there is, they scroll, by the keyboard too.
    this.root.tabIndex = this.root.scrollHeight > this.root.clientHeight ? 0 : -1;
  }

  /** @param {string} problem with the film */
  film(problem) {
    this.notice("film", problem);
  }

  /** @param {string} message on the frame table */
  frames(message) {
    this.notice("frames", message, { wrong: false });
  }

  /** @param {string} message on getting the reading */
  load(message) {
    this.notice("load", message);
  }

  /** @param {string[]} conflicts of keys */
  keys(conflicts) {
    this.notice("keys", conflicts.join(" "), { close: true });
  }

  /** @param {boolean} on whether letters and signs act as keys */
  letters(on) {
    this.notice("letters", on ? "" : "Letters and signs don't act as keys now. Code by the buttons, or turn them on again under “keys”.", { wrong: false });
  }

  /** @param {string[]} readings for which edits wait */
  elsewhere(readings) {
    const links = readings.map((r, i) => el("a", { href: `/desk/${encodeURIComponent(r)}` }, readings.length > 1 ? ` desk ${i + 1}` : " that desk"));
    this.notice("elsewhere", readings.length === 0 ? "" : "Edits of another reading still wait in this browser. They are sent when its desk is opened:", { more: links, close: true });
  }

  /**
   * @param {Waiting[]} out edits that were taken out of view
   * @param {{message: string, hint: string}} error
   */
  refused(out, { message, hint }) {
    const what = out.map((w) => `“${w.label || "an edit"}”`).join(", ");
    this.notice("refused", `Not stored: ${what}. ${message} ${hint}`.trim(), { close: true });
  }
}
