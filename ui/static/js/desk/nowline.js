// @ts-check
// What goes on at the time shown: the running exercise, the cue that waits for an
// answer, and what digits would fill in.
import { el } from "../shared/dom.js";
import { secondsLabel } from "../shared/time.js";
import { exerciseAt } from "./spans.js";
import { trialAt } from "./trials.js";
import { choices } from "./entry.js";
import { capOfKey } from "./keytable.js";

/** @typedef {import("./coding.js").Scene} Scene */

export class NowLine {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.text = "";
  }

  /**
   * @param {Scene} scene
   * @param {number} t
   * @param {import("./types.js").Entry | null} entry
   */
  update(scene, t, entry) {
    const picks = entry?.kind === "pick" ? entryHint(scene, entry) : [];
    const parts = [...now(scene, t), ...(entry?.kind === "level" ? entryHint(scene, entry) : [])];
    const text = JSON.stringify([parts, picks]);
    if (text === this.text) return;
    this.text = text;
    this.root.replaceChildren(...parts.map(draw), ...(picks.length > 0 ? [el("span", { class: "picks" }, ...picks.map(draw))] : []));
  }
}

/** @param {Part} p */
function draw(p) {
  const node = el("span", { class: p.class, title: p.title }, p.text);
  if (p.key) node.prepend(el("kbd", {}, p.key), " ");
  return node;
}

/** @typedef {{class: string, text: string, key?: string, title?: string}} Part */

/**
 * @param {Scene} scene
 * @param {number} t
 * @returns {Part[]}
 */
export function now({ book, events }, t) {
  /** @type {Part[]} */
  const parts = [];
  const exercise = exerciseAt(events, book, t);
  if (exercise) parts.push({ class: "exercise", text: `${book.nameOf(exercise)} for ${secondsLabel(t - exercise.start_us)} s` });
  const { open } = trialAt(book, events, t);
  if (open) {
    const cue = book.code(open.code);
    const times = open.repeats.filter((r) => r <= t).length + 1;
    const answer = open.answers.findLast((a) => a.at <= t);
    parts.push({ class: "cue", text: `${open.halt ? "halt" : cue ? book.label(cue) : open.command}, ${times > 1 ? `${times} times, first ` : "asked "}${secondsLabel(t - open.start)} s ago` });
    const said = answer ? (answer.result === "none" ? "no answer" : "did something else") : "no answer yet";
    parts.push({ class: "unanswered", text: answer ? `${said}, and then?` : said });
    for (const code of book.codes.values()) {
      if (code.role === "answer" && book.keyOf(code)) parts.push({ class: "hint", text: "", key: capOfKey(book.keyOf(code)), title: book.label(code) });
    }
  }
  if (!exercise && !open) parts.push({ class: "nothing", text: "no exercise runs here" });
  return parts;
}

/**
 * @param {Scene} scene
 * @param {import("./types.js").Entry} entry
 * @returns {Part[]}
 */
function entryHint(scene, entry) {
  const e = scene.events.find((x) => x.id === entry.id);
  if (!e) return [];
  const name = scene.book.nameOf(e);
  if (entry.kind === "level") return [{ class: "entry", text: `${name} ${e.details?.level ?? "–"}`, key: "0–9" }];
  return [{ class: "entry", text: `${name}:` }, ...choices(scene, entry).map((c) => ({ class: e.details?.kind === c.name ? "entry chosen" : "entry", text: c.name, key: c.digit }))];
}
