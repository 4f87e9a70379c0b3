// @ts-check
// Digits after a coding key: the level of pressure, or which of the code's kinds
// it was. Each digit changes the event that the key was about.
import { Draft } from "./draft.js";

/** @typedef {import("./types.js").Entry} Entry */
/** @typedef {import("./coding.js").Scene} Scene */
/** @typedef {import("./coding.js").Outcome} Outcome */

const MOST_DIGITS = 6;

/**
 * What an entry offers, for the hint on the page.
 * @param {Scene} scene
 * @param {Entry} entry
 * @returns {{digit: string, name: string}[]} no list for a level
 */
export function choices(scene, entry) {
  const e = scene.events.find((x) => x.id === entry.id);
  const picks = (e && entry.kind === "pick" && scene.book.code(e.code)?.picks) || [];
  return picks.slice(0, 10).map((name, i) => ({ digit: String((i + 1) % 10), name }));
}

/**
 * A digit, or "." for the decimals of a level.
 * @param {Scene} scene
 * @param {Entry} entry
 * @param {string} digit
 * @returns {Outcome}
 */
export function type(scene, entry, digit) {
  const e = scene.events.find((x) => x.id === entry.id);
  const code = e && scene.book.code(e.code);
  if (!e || !code) return { change: null, subject: null, entry: null, held: null, said: "" };
  const refuse = (/** @type {string} */ said) => ({ change: null, subject: e.id, entry, held: null, said });
  const draft = new Draft(scene.events);
  const name = scene.book.label(code);
  if (entry.kind === "pick") {
    const picks = code.picks ?? [];
    const kind = digit === "." ? undefined : picks[digit === "0" ? 9 : Number(digit) - 1];
    if (!kind) return refuse(`${name} has no kind ${digit}`);
    draft.put({ ...e, details: { ...e.details, kind } });
    return { change: draft.change(`${name}: ${kind}`), subject: e.id, entry: { ...entry, typed: digit }, held: null, said: `${name}: ${kind}` };
  }
  const typed = entry.typed + digit;
  if (typed.length > MOST_DIGITS || (digit === "." && (entry.typed === "" || entry.typed.includes(".")))) return refuse("that is no level");
  const next = { ...entry, typed };
  if (digit === ".") return { change: null, subject: e.id, entry: next, held: null, said: `${name} ${typed}` };
  return setLevel(scene, e, draft, next, Number(typed));
}

/**
 * Takes back the last digit of a level.
 * @param {Scene} scene
 * @param {Entry} entry with something typed
 * @returns {Outcome}
 */
export function untype(scene, entry) {
  const e = scene.events.find((x) => x.id === entry.id);
  const typed = entry.typed.slice(0, -1);
  const next = { ...entry, typed };
  if (!e || entry.kind !== "level") return { change: null, subject: null, entry: null, held: null, said: "" };
  const draft = new Draft(scene.events);
  if (typed !== "") return setLevel(scene, e, draft, next, Number(typed));
  const { level, ...details } = e.details ?? {};
  draft.put({ ...e, details });
  const name = scene.book.nameOf(e);
  return { change: draft.change(`${name} without level`), subject: e.id, entry: next, held: null, said: `${name} without level` };
}

/**
 * @param {Scene} scene
 * @param {import("./types.js").Event} e
 * @param {Draft} draft
 * @param {Entry} entry
 * @param {number} level
 * @returns {Outcome}
 */
function setLevel(scene, e, draft, entry, level) {
  const { book, kept } = scene;
  const channel = String(book.detail(e, "channel") ?? "");
  const device = book.detail(e, "device");
  const most = highest(scene, channel, device);
  const name = book.nameOf(e);
  if (most !== undefined && level > most)
    return { change: null, subject: e.id, entry: { ...entry, typed: entry.typed.slice(0, -1) }, held: null, said: `${level} is above ${most}, the end of the scale ${book.scale(channel, device)}` };
  draft.put({ ...e, details: { ...e.details, level } });
  kept.levels.set(channel, { level, ...(device && { device }) });
  return { change: draft.change(`${name} ${level}`), subject: e.id, entry, held: null, said: `${name} ${level}` };
}

/**
 * The end of a scale: what the book says, or the session's device if that ends sooner.
 * @param {Scene} scene
 * @param {string} channel
 * @param {string} [device]
 * @returns {number | undefined}
 */
function highest({ book, device: worked }, channel, device) {
  const most = book.rung(channel, device)?.level_max;
  const own = worked && worked.device === device && worked.channel === channel ? worked.level_max : undefined;
  return own === undefined || own === null ? most : Math.min(own, most ?? own);
}

/**
 * The levels that a reading's events leave behind: for each channel the level of
 * the event that was saved last.
 * @param {import("./book.js").Book} book
 * @param {readonly import("./types.js").Event[]} events
 * @returns {Map<string, {level: number, device?: string}>}
 */
export function levelsOf(book, events) {
  /** @type {Map<string, {rev: number, level: number, device?: string}>} */
  const last = new Map();
  for (const e of events) {
    const level = e.details?.level;
    if (book.role(e) !== "pressure" || typeof level !== "number") continue;
    const rev = typeof e.rev === "number" ? e.rev : Infinity;
    const channel = String(book.detail(e, "channel") ?? "");
    const device = book.detail(e, "device");
    if (rev >= (last.get(channel)?.rev ?? -1)) last.set(channel, { rev, level, ...(device && { device }) });
  }
  return new Map([...last].map(([channel, { level, device }]) => [channel, { level, ...(device && { device }) }]));
}
