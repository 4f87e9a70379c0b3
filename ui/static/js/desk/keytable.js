// @ts-check
// The one table of keys: it drives what a key does, the help and the hints on
// buttons. A key is a place on the keyboard (KeyboardEvent.code) and Shift, so
// neither the layout nor Caps Lock changes what it does; only undo and redo go by
// the letter, as everywhere in the system.

/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./book.js").Code} Code */

/**
 * @typedef {object} Fixed
 * @property {string} action
 * @property {string} code KeyboardEvent.code; the letter for those with Ctrl
 * @property {boolean} [shift]
 * @property {boolean} [ctrl] Ctrl, or Cmd on a Mac
 * @property {boolean} [repeat] acts again while held down
 * @property {string} label
 * @property {"code" | "time" | "event" | "page"} group
 */

/** @type {Fixed[]} */
export const FIXED = [
  { action: "right", code: "KeyE", label: "the dog is right: ends the newest of out of position, off-task, broken; else answers the open cue with did", group: "code" },

  { action: "play", code: "Space", label: "play, pause", group: "time" },
  { action: "frame-back", code: "Comma", repeat: true, label: "a frame back", group: "time" },
  { action: "frame-on", code: "Period", repeat: true, label: "a frame on", group: "time" },
  { action: "second-back", code: "ArrowLeft", repeat: true, label: "1 s back", group: "time" },
  { action: "second-on", code: "ArrowRight", repeat: true, label: "1 s on", group: "time" },
  { action: "five-back", code: "ArrowLeft", shift: true, repeat: true, label: "5 s back", group: "time" },
  { action: "five-on", code: "ArrowRight", shift: true, repeat: true, label: "5 s on", group: "time" },
  { action: "faster", code: "ArrowUp", label: "faster, up to 4×", group: "time" },
  { action: "slower", code: "ArrowDown", label: "slower, down to 0.25×", group: "time" },
  { action: "speed-one", code: "ArrowUp", shift: true, label: "speed 1×", group: "time" },
  { action: "go", code: "Slash", label: "go to a time or, with #, a frame", group: "time" },
  { action: "clip-start", code: "Home", label: "to the clip's first frame", group: "time" },
  { action: "clip-end", code: "End", label: "to the clip's last frame", group: "time" },

  { action: "next-event", code: "PageDown", repeat: true, label: "to the next event, and select it", group: "event" },
  { action: "last-event", code: "PageUp", repeat: true, label: "to the event before, and select it", group: "event" },
  { action: "edit", code: "Enter", label: "change the selected event", group: "event" },
  { action: "note", code: "Enter", shift: true, label: "write a note to it", group: "event" },
  { action: "start-here", code: "BracketLeft", label: "its start is the frame shown", group: "event" },
  { action: "end-here", code: "BracketRight", label: "its end is the frame shown", group: "event" },
  { action: "start-earlier", code: "Semicolon", repeat: true, label: "its start a frame earlier", group: "event" },
  { action: "start-later", code: "Quote", repeat: true, label: "its start a frame later", group: "event" },
  { action: "end-earlier", code: "Semicolon", shift: true, repeat: true, label: "its end a frame earlier", group: "event" },
  { action: "end-later", code: "Quote", shift: true, repeat: true, label: "its end a frame later", group: "event" },
  { action: "delete", code: "Delete", label: "remove it", group: "event" },
  { action: "undo", code: "z", ctrl: true, repeat: true, label: "undo", group: "event" },
  { action: "redo", code: "z", ctrl: true, shift: true, repeat: true, label: "redo", group: "event" },

  { action: "zoom-in", code: "Equal", repeat: true, label: "strip: closer", group: "page" },
  { action: "zoom-out", code: "Minus", repeat: true, label: "strip: wider", group: "page" },
  { action: "zoom-all", code: "Backslash", label: "strip: the whole clip", group: "page" },
  { action: "captions", code: "Backquote", label: "captions on, off", group: "page" },
  { action: "finish", code: "End", shift: true, label: "finish the reading, or take it up again", group: "page" },
  { action: "help", code: "Slash", shift: true, label: "these keys", group: "page" },
  { action: "escape", code: "Escape", label: "close, select nothing", group: "page" },
];

// Second keys for the same thing; not told in the help.
/** @type {{action: string, code: string, shift?: boolean, ctrl?: boolean, repeat?: boolean}[]} */
const ALSO = [
  { action: "zoom-in", code: "Equal", shift: true, repeat: true },
  { action: "zoom-in", code: "NumpadAdd", repeat: true },
  { action: "zoom-out", code: "NumpadSubtract", repeat: true },
  { action: "edit", code: "NumpadEnter" },
  { action: "delete", code: "Backspace" },
  { action: "redo", code: "y", ctrl: true, repeat: true },
];

const PLACES = { ";": "Semicolon", "'": "Quote", ",": "Comma", ".": "Period", "/": "Slash", "[": "BracketLeft", "]": "BracketRight", "\\": "Backslash", "`": "Backquote", "-": "Minus", "=": "Equal" };

/**
 * The place of a book's key: "w" is the key that carries w on an English
 * keyboard, "W" the same with Shift. Null for what can't be a coding key.
 * @param {string} key
 * @returns {string | null}
 */
export function keyPlace(key) {
  if (/^[a-z]$/.test(key)) return `Key${key.toUpperCase()}`;
  if (/^[A-Z]$/.test(key)) return `Shift+Key${key}`;
  return /** @type {Record<string, string>} */ (PLACES)[key] ?? null;
}

/** @param {{code: string, shift?: boolean, ctrl?: boolean}} k */
const combo = (k) => `${k.ctrl ? "Ctrl+" : ""}${k.shift ? "Shift+" : ""}${k.code}`;

/**
 * What is bound to a key: an action of the desk or a code of the book.
 * @typedef {{action: string, repeat: boolean} | {code: Code}} Bound
 */

/**
 * Every key with what it does. A book's key that the desk needs itself, that two
 * codes share or that is no key gets a sentence in `conflicts` and does nothing.
 * @param {Book} book
 * @returns {{keys: Map<string, Bound>, conflicts: string[]}}
 */
export function bind(book) {
  /** @type {Map<string, Bound>} */
  const keys = new Map();
  /** @type {string[]} */
  const conflicts = [];
  for (const f of [...FIXED, ...ALSO]) keys.set(combo(f), { action: f.action, repeat: !!f.repeat });
  for (const code of book.codes.values()) {
    const key = book.keyOf(code);
    if (key === "") continue;
    const place = keyPlace(key);
    const taken = place === null ? undefined : keys.get(place);
    if (place === null) {
      const why = /^\d$/.test(key) ? "digits are levels and kinds" : "it is not a letter";
      conflicts.push(`“${code.name}” can't have the key ${key}: ${why}. Use its button, or change the key in the codebook.`);
    } else if (taken && "action" in taken) {
      const what = FIXED.find((f) => f.action === taken.action)?.label.replace(/:.*/, "");
      conflicts.push(`“${code.name}” can't have the key ${key}: the desk needs it (${what}). Use its button, or change the key in the codebook.`);
    } else if (taken) {
      conflicts.push(`“${code.name}” and “${taken.code.name}” have the same key ${key}. It stands for “${taken.code.name}”; change one of them in the codebook.`);
    } else keys.set(place, { code });
  }
  return { keys, conflicts };
}

/**
 * @param {{code: string, key: string, shiftKey: boolean, ctrlKey: boolean, metaKey: boolean, altKey: boolean}} ev
 * @returns {string | null} null for what the desk leaves alone
 */
export function comboOf(ev) {
  if (ev.altKey) return null;
  const shift = ev.shiftKey ? "Shift+" : "";
  if (ev.ctrlKey || ev.metaKey) return ev.ctrlKey && ev.metaKey ? null : `Ctrl+${shift}${ev.key.toLowerCase()}`;
  return shift + ev.code;
}

/**
 * The digit that a key types into an entry: "0" to "9", "." from the number pad,
 * "" for any other key.
 * @param {{code: string, shiftKey: boolean, ctrlKey: boolean, metaKey: boolean, altKey: boolean}} ev
 */
export function digitOf(ev) {
  if (ev.shiftKey || ev.ctrlKey || ev.metaKey || ev.altKey) return "";
  if (ev.code === "NumpadDecimal") return ".";
  return /^(?:Digit|Numpad)(\d)$/.exec(ev.code)?.[1] ?? "";
}

const NAMES = {
  Space: "space", Comma: ",", Period: ".", ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", Slash: "/", Home: "home", End: "end",
  PageDown: "page ↓", PageUp: "page ↑", Enter: "enter", BracketLeft: "[", BracketRight: "]", Semicolon: ";", Quote: "'", Delete: "delete", Equal: "=",
  Minus: "-", Backslash: "\\", Backquote: "`", Escape: "esc",
};

/** @type {Map<string, string> | null} what this keyboard's keys carry, by place */
let layout = null;

/**
 * Learns what the keys of this keyboard carry, where the browser tells.
 * @returns {Promise<boolean>} whether it told
 */
export async function learnLayout() {
  try {
    layout = await /** @type {any} */ (navigator).keyboard?.getLayoutMap() ?? null;
  } catch {
    layout = null;
  }
  return layout !== null && layout.size > 0;
}

/** @param {string} place @returns {string} what the key at a place carries */
function cap(place) {
  const name = /** @type {Record<string, string>} */ (NAMES)[place];
  if (name && name.length > 1) return name;
  return layout?.get(place) ?? name ?? place.replace(/^Key/, "").toLowerCase();
}

/** @param {string} key of a book @returns {string} as it is drawn on the page */
export function capOfKey(key) {
  const place = keyPlace(key);
  if (!place) return key;
  return place.startsWith("Shift+") ? cap(place.slice(6)).toUpperCase() : cap(place);
}

/** @param {string} action @returns {string} its key as it is drawn on the page, "" if it has none */
export function capOf(action) {
  const f = FIXED.find((x) => x.action === action);
  if (!f) return "";
  if (f.action === "help") return layout?.get("Slash") === "/" || !layout ? "?" : `shift ${cap("Slash")}`;
  return `${f.ctrl ? "ctrl " : ""}${f.shift ? "shift " : ""}${f.ctrl ? f.code : cap(f.code)}`;
}
