// @ts-check
// Keys of codes: which key was pressed, why it can't be had, who has it. Keys are
// places on the keyboard and Shift.
import { comboOf, keyPlace } from "../../desk/keytable.js";

/** Letters in the order of the keyboard. */
export const ROWS = ["qwertyuiop", "asdfghjkl", "zxcvbnm"];

/**
 * The book's key for a key that was pressed, null for one that no letter is for.
 * @param {{code: string, key: string, shiftKey: boolean, ctrlKey: boolean, metaKey: boolean, altKey: boolean}} ev
 * @returns {string | null}
 */
export function keyOfPress(ev) {
  const m = /^(Shift\+)?Key([A-Z])$/.exec(comboOf(ev) ?? "");
  return m ? (m[1] ? m[2] : m[2].toLowerCase()) : null;
}

/**
 * Why a press can't stand for a code, "" if it can.
 * @param {{code: string, key: string, shiftKey: boolean, ctrlKey: boolean, metaKey: boolean, altKey: boolean}} ev
 * @param {{place: string, does: string}[]} desk
 */
export function refusal(ev, desk) {
  const place = comboOf(ev);
  if (place === null || ev.ctrlKey || ev.metaKey) return "Keys with Ctrl, Alt or Cmd stay with the browser.";
  const taken = desk.find((k) => k.place === place);
  if (taken) return `The desk needs that key (${taken.does.replace(/:.*/, "")}).`;
  if (/^(Shift\+)?(Digit|Numpad)\d$/.test(place)) return "Digits are levels and kinds.";
  return keyOfPress(ev) === null ? "Only letters, alone or with Shift, can stand for a code." : "";
}

/**
 * The code that has a key, null if none.
 * @param {any} book
 * @param {string} key
 * @returns {{i: number, k: number, code: any} | null}
 */
export function holder(book, key) {
  if (key === "") return null;
  for (const [i, lane] of book.lanes.entries()) {
    for (const [k, code] of (lane.codes ?? []).entries()) if (code.key === key) return { i, k, code };
  }
  return null;
}

/**
 * The keys that can stand for a code, in the order of the keyboard.
 * @param {{place: string}[]} desk
 */
export function letters(desk) {
  const needed = new Set(desk.map((k) => k.place));
  return [...ROWS.join(""), ...ROWS.join("").toUpperCase()].filter((key) => !needed.has(keyPlace(key) ?? ""));
}
