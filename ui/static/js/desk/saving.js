// @ts-check
// Says how saving goes, in words that are always in sight.
import { setText } from "../shared/dom.js";
import { timeLabel } from "../shared/time.js";

/** Saving that is done within this time is not worth a word, ms. */
const QUIET = 400;

/**
 * @param {{state: import("./queue.js").State, message: string, waiting: number, kept: boolean, finished: boolean, saved_us: number}} s
 * @returns {{text: string, wrong: boolean}}
 */
export function savingText({ state, message, waiting, kept, finished, saved_us }) {
  const edits = waiting === 1 ? "1 edit" : `${waiting} edits`;
  const where = kept ? "kept in this browser" : "this browser can't keep them: leave the page open";
  switch (state) {
    case "away": return { text: `${edits} waiting: server not reachable; ${where}`, wrong: true };
    case "shut": return { text: `${edits} waiting: ${message || "the server refuses"} (${where})`, wrong: true };
    case "conflict": return { text: `${edits} waiting for your choice; ${where}`, wrong: true };
    case "sending": if (waiting > 0) return { text: `saving ${edits} …`, wrong: false };
  }
  return { text: `✓ saved to ${timeLabel(saved_us, 1)}${finished ? ", finished" : ""}`, wrong: false };
}

export class Saving {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    /** @type {ReturnType<typeof setTimeout> | 0} */
    this.timer = 0;
  }

  /** @param {Parameters<typeof savingText>[0]} s */
  update(s) {
    clearTimeout(this.timer || undefined);
    this.root.dataset.state = s.state;
    this.root.dataset.waiting = String(s.waiting);
    const { text, wrong } = savingText(s);
    const show = () => {
      setText(this.root, text);
      this.root.classList.toggle("wrong-text", wrong);
      this.root.classList.toggle("good-text", !wrong);
    };
    if (s.state === "sending" && s.waiting > 0) this.timer = setTimeout(show, QUIET);
    else show();
  }
}
