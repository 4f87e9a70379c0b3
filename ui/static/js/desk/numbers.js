// @ts-check
// The numbers of the clip, as the server's measures have them: what went by
// itself first, then what was broken, answered and used.
import { el } from "../shared/dom.js";

/** @typedef {import("./book.js").Book} Book */

/** @typedef {{before: string, value: string, after: string}} Figure */

/**
 * @param {any} m measures of one reading
 * @param {Book} book
 * @returns {Figure[]}
 */
export function figures(m, book) {
  /** @type {Figure[]} */
  const out = [];
  const add = (/** @type {string} */ before, /** @type {unknown} */ value, /** @type {string} */ after) => out.push({ before, value: String(value), after });
  const s = (/** @type {number} */ seconds) => seconds.toFixed(1);
  if (m?.heel?.heel_s > 0) add("out of position", `${s(m.heel.error_s)} s`, `of ${s(m.heel.heel_s)}`);
  const itself = m?.pressure?.by_itself;
  if (itself?.n > 0) add("right by itself", itself.k, `of ${itself.n}`);
  const held = m?.stays?.stays_held;
  if (held?.n > 0) add("stays held", held.k, `of ${held.n}`);
  if (m?.stays?.breaks > 0) add("breaks", m.stays.breaks, "");
  const clean = m?.cues?.clean_share;
  if (clean?.n > 0) add("cues answered clean", clean.k, `of ${clean.n}`);
  if (m?.pressure?.events > 0) add("highest", highest(m, book), "");
  if (m?.rewards?.rewards > 0) add("rewards", m.rewards.rewards, "");
  return out;
}

/**
 * The highest pressure in words: its scale and level, else its channels.
 * @param {any} m
 * @param {Book} book
 */
function highest(m, book) {
  const { rank_max, scale, level } = m.pressure.escalation ?? {};
  if (scale && level !== null && level !== undefined) return `${book.channelName(scale)} ${level}`;
  const channels = Object.keys(m.pressure.by_channel ?? {}).filter((c) => book.ladder.some((r) => r.channel === c && r.rank === rank_max));
  return channels.map((c) => book.channelName(c)).join(" or ") || `rank ${rank_max}`;
}

export class Numbers {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.text = "";
  }

  /**
   * @param {any} measures
   * @param {Book} book
   * @param {{stale: boolean, error: string}} more
   */
  update(measures, book, { stale, error }) {
    this.root.classList.toggle("stale", stale);
    const list = figures(measures, book);
    const text = error || JSON.stringify(list);
    if (text === this.text) return;
    this.text = text;
    if (error) this.root.replaceChildren(el("span", { class: "wrong-text" }, `No numbers: ${error}`));
    else if (list.length === 0) this.root.replaceChildren(el("span", { class: "muted" }, "The numbers of the clip stand here once something is coded."));
    else this.root.replaceChildren(...list.map((f) => el("span", {}, f.before && `${f.before} `, el("b", {}, f.value), f.after && ` ${f.after}`)));
  }
}
