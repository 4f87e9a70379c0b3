// @ts-check
// Listens to the keyboard and hands on what the table of keys says. Acts when a
// key goes down and reads the time of it first.
import { comboOf, digitOf } from "./keytable.js";

/** @typedef {import("./book.js").Code} Code */

/**
 * Who is told what key was pressed. `stamp` is the event's own time, in
 * milliseconds as performance.now() has it.
 * @typedef {object} Listener
 * @property {(action: string, stamp: number) => void} act
 * @property {(code: Code, stamp: number, place: string) => void} code
 * @property {(place: string, stamp: number, held: number) => void} release of a coding key after `held` ms
 * @property {(digit: string) => boolean} digit whether it was taken
 * @property {() => boolean} erase takes back a digit; whether there was one
 * @property {() => void} other any other key
 */

export class Keys {
  /**
   * @param {Listener} to
   * @param {AbortSignal} signal
   */
  constructor(to, signal) {
    this.to = to;
    this.on = true;
    /** @type {Map<string, import("./keytable.js").Bound>} */
    this.table = new Map();
    /** @type {Map<string, number>} coding keys that are down, with when they went down */
    this.down = new Map();
    document.addEventListener("keydown", (e) => this.press(e), { signal });
    document.addEventListener("keyup", (e) => this.letGo(e), { signal });
    addEventListener("blur", () => this.down.clear(), { signal });
  }

  /** @param {KeyboardEvent} e */
  press(e) {
    const stamp = e.timeStamp;
    if (e.defaultPrevented || e.isComposing || e.keyCode === 229 || isModifier(e) || e.getModifierState("AltGraph")) return;
    if (document.querySelector("dialog[open]") || !leaves(e)) return;
    const place = comboOf(e);
    if (place === null) return;
    const bound = this.table.get(place);
    // Coding keys can be switched off; keys with Ctrl and those that are no
    // characters stay, as they can't be meant for anything else.
    if (!this.on && e.key.length === 1 && !e.ctrlKey && !e.metaKey) return;
    const digit = digitOf(e);
    if (digit !== "") {
      if (!e.repeat && this.to.digit(digit)) e.preventDefault();
      return;
    }
    if (e.code === "Backspace" && this.to.erase()) {
      e.preventDefault();
      return;
    }
    if (!bound) {
      this.to.other();
      return;
    }
    e.preventDefault();
    if ("action" in bound) {
      if (e.repeat && !bound.repeat) return;
      this.to.other();
      this.to.act(bound.action, stamp);
    } else if (!e.repeat) {
      this.to.other();
      this.down.set(e.code, stamp);
      this.to.code(bound.code, stamp, e.code);
    }
  }

  /** @param {KeyboardEvent} e */
  letGo(e) {
    const since = this.down.get(e.code);
    if (since === undefined) return;
    this.down.delete(e.code);
    this.to.release(e.code, e.timeStamp, e.timeStamp - since);
  }
}

/** @param {KeyboardEvent} e */
const isModifier = (e) => ["Shift", "Control", "Alt", "Meta", "AltGraph", "CapsLock", "Fn"].includes(e.key);

/**
 * Whether the element in focus leaves a key to the desk.
 * @param {KeyboardEvent} e
 */
function leaves(e) {
  const at = /** @type {HTMLElement} */ (e.target);
  if (at === document.body || at === document.documentElement) return true;
  if (at.isContentEditable) return false;
  if (at.closest("textarea, select")) return false;
  const input = at.closest("input");
  if (input && !["checkbox", "radio", "button"].includes(input.type)) return false;
  // Space and Enter press what is in focus.
  if (at.closest("button, a[href], summary, input")) return e.code !== "Space" && e.code !== "Enter" && e.code !== "NumpadEnter";
  return true;
}
