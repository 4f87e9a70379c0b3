// @ts-check
// The strip in words, for those who don't see it: a summary for its name, and a
// list of the events in view. The texts are made without DOM.
import { timeLabel, secondsLabel } from "../shared/time.js";
import { el } from "../shared/dom.js";

/** @typedef {import("./types.js").Item} Item */
/** @typedef {import("./scene.js").Scene} Scene */

/** Events listed at most. */
const MOST = 200;

/**
 * One event in words: 0:15.200 behind (lagging), 3.4 s; level, taps, note behind it.
 * @param {Item} item
 * @returns {string}
 */
export function describe(item) {
  const parts = [`${timeLabel(item.start)} ${item.name}`];
  if (item.kind && item.kind !== item.name && item.role !== "exercise" && item.role !== "error") parts.push(item.kind);
  if (item.open) parts.push("still open");
  else if (item.end > item.start) parts.push(`${secondsLabel(item.end - item.start)} s`);
  if (!Number.isNaN(item.level)) parts.push(`level ${item.level}`);
  if (item.taps > 1) parts.push(`${item.taps} taps`);
  if (item.role === "pressure") parts.push(item.helps ? "help" : "correction");
  if (!Number.isNaN(item.distance)) parts.push(`${item.distance} m`);
  if (item.note) parts.push(item.note);
  return parts.join(", ");
}

const COUNTED = /** @type {[string, string, string][]} */ ([
  ["error", "error", "errors"], ["off_task", "time off task", "times off task"], ["break", "break", "breaks"], ["cue", "cue", "cues"],
  ["answer", "answer", "answers"], ["pressure", "use of pressure", "uses of pressure"], ["reward", "reward", "rewards"], ["stress", "stress sign", "stress signs"],
]);

/**
 * The whole strip in a sentence or two.
 * @param {string} label
 * @param {Scene} scene
 * @param {import("./types.js").View} clip
 * @param {import("./types.js").View} view
 */
export function summarize(label, scene, clip, view) {
  /** @type {Map<string, number>} */
  const counts = new Map();
  for (const item of scene.byId.values()) counts.set(item.role, (counts.get(item.role) ?? 0) + 1);
  const counted = COUNTED.filter(([role]) => counts.get(role)).map(([role, one, many]) => `${counts.get(role)} ${counts.get(role) === 1 ? one : many}`);
  const what = counted.length > 0 ? counted.join(", ") : scene.byId.size > 0 ? `${scene.byId.size} events` : "nothing coded yet";
  return `${label}, ${timeLabel(clip.to - clip.from, 0)} long: ${what}. In view ${timeLabel(view.from, 1)} to ${timeLabel(view.to, 1)}.`;
}

/**
 * The events that meet the view, in order of start, at most MOST, and how many
 * there are.
 * @param {Scene} scene
 * @param {import("./types.js").View} view
 */
export function listed(scene, view) {
  /** @type {Item[]} */
  const items = [];
  for (const item of scene.byId.values()) if (item.start <= view.to && item.end >= view.from) items.push(item);
  items.sort((a, b) => a.start - b.start || a.end - b.end);
  return { items: items.slice(0, MOST), all: items.length };
}

/** The list element; refill it when there is time. */
export class Listing {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.caption = el("p");
    this.list = el("ul", { role: "list" });
    const box = el("div", { class: "visually-hidden" }, this.caption, this.list);
    Object.assign(box.style, { position: "absolute", width: "1px", height: "1px", overflow: "hidden", clipPath: "inset(50%)" });
    root.append(box);
  }

  /** @param {Scene} scene @param {import("./types.js").View} view */
  fill(scene, view) {
    const { items, all } = listed(scene, view);
    this.caption.textContent = all === 0 ? "No events in view." : all > items.length ? `The first ${items.length} of ${all} events in view:` : "Events in view:";
    const texts = items.map(describe);
    for (let i = 0; i < texts.length; i++) {
      const li = this.list.children[i] ?? this.list.appendChild(el("li"));
      if (li.textContent !== texts[i]) li.textContent = texts[i];
    }
    while (this.list.children.length > texts.length) this.list.lastElementChild?.remove();
  }
}
