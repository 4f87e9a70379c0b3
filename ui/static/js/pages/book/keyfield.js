// @ts-check
// The key of a code: set by pressing it, or chosen from a list.
import { el } from "../../shared/dom.js";
import { capOfKey } from "../../desk/keytable.js";
import { button, wrong } from "./fields.js";
import { holder, keyOfPress, letters, refusal } from "./keys.js";

/** @typedef {import("./editor.js").Editor} Editor */

/**
 * @param {Editor} ed
 * @param {number} i lane
 * @param {number} k code in it
 */
export function keyField(ed, i, k) {
  const { book } = ed.draft;
  const code = book.lanes[i].codes[k];
  const id = `l${i}c${k}-key`;
  const says = el("p", { class: "key-says", id: `${id}-says`, role: "status" });
  const clash = ed.view.clash;
  const node = el("div", { class: "field key-field", "data-field": id, role: "group", "aria-labelledby": `${id}-label` },
    el("span", { class: "label", id: `${id}-label` }, "Key"),
    el("span", { class: "key-line" },
      code.key ? el("kbd", { class: "large" }, capOfKey(code.key)) : el("span", { class: "muted" }, "none"),
      catcher(ed, id, i, k, says),
      el("label", { class: "inline", for: `${id}-choose` }, "or choose "), chooser(ed, `${id}-choose`, i, k),
      button(`${id}-none`, "No key", () => give(ed, i, k, ""), { says: `No key for ${code.name}`, disabled: code.key === "" })),
    says, clash && clash.i === i && clash.k === k && clashLine(ed, id, i, k, clash.key), wrong(id));
  return node;
}

/** @param {Editor} ed @param {number} i @param {number} k @param {string} key */
function give(ed, i, k, key) {
  const name = ed.draft.book.lanes[i].codes[k].name;
  const other = holder(ed.draft.book, key);
  if (other && (other.i !== i || other.k !== k)) {
    ed.view.clash = { i, k, key };
    ed.draw();
    document.getElementById(`l${i}c${k}-key-swap`)?.focus();
    return;
  }
  ed.view.clash = null;
  ed.draft.change(key ? `key ${key} for “${name}”` : `no key for “${name}”`, (b) => (b.lanes[i].codes[k].key = key));
  ed.say(key ? `${capOfKey(key)} is “${name}” now.` : `“${name}” has no key now.`);
}

/**
 * What has the key already, and a way to swap.
 * @param {Editor} ed
 * @param {string} id
 * @param {number} i
 * @param {number} k
 * @param {string} key
 */
function clashLine(ed, id, i, k, key) {
  const other = holder(ed.draft.book, key);
  if (!other) return null;
  const code = ed.draft.book.lanes[i].codes[k];
  const close = () => {
    ed.view.clash = null;
  };
  const back = () => document.getElementById(id)?.focus();
  return el("div", { class: "notice wrong clash", role: "alert" },
    el("p", {}, el("kbd", {}, capOfKey(key)), ` is “${other.code.name}” already.`),
    el("p", {},
      button(`${id}-swap`, code.key ? `Swap: “${other.code.name}” gets ${capOfKey(code.key)}` : `Take it: “${other.code.name}” has no key then`, () => {
        close();
        ed.draft.change(`swap of keys ${key} and ${code.key || "none"}`, (b) => {
          b.lanes[other.i].codes[other.k].key = code.key;
          b.lanes[i].codes[k].key = key;
        });
        ed.say(`${capOfKey(key)} is “${code.name}” now.`);
        back();
      }), " ",
      button(`${id}-leave`, "Leave it as it is", () => {
        close();
        ed.draw();
        back();
      })));
}

/**
 * The button that takes the next key press. Tab, Escape and a click elsewhere
 * leave it without a change.
 * @param {Editor} ed
 * @param {string} id
 * @param {number} i
 * @param {number} k
 * @param {HTMLElement} says
 */
function catcher(ed, id, i, k, says) {
  const name = ed.draft.book.lanes[i].codes[k].name;
  const idle = "Press a key…";
  let waiting = false;
  const wait = (/** @type {boolean} */ on) => {
    waiting = on;
    b.textContent = on ? "Press it now (Esc: leave it)" : idle;
    b.setAttribute("aria-pressed", String(on));
  };
  const b = el("button", { type: "button", id, class: "catch", "aria-pressed": "false", "aria-label": `Press a key for ${name}`, "aria-describedby": `${id}-says ${id}-wrong`,
    onclick: () => {
      wait(!waiting);
      says.textContent = waiting ? "Press the key that is to stand for it. Escape leaves it as it is." : "";
    },
    onblur: () => wait(false),
    onkeydown: (/** @type {KeyboardEvent} */ e) => {
      if (!waiting || e.key === "Tab" || ["Shift", "Control", "Alt", "Meta", "AltGraph", "CapsLock", "Fn"].includes(e.key)) return;
      e.preventDefault();
      e.stopPropagation();
      if (e.repeat) return;
      if (e.key === "Escape") {
        wait(false);
        says.textContent = "Left as it was.";
        return;
      }
      const no = refusal(e, ed.data.desk_keys);
      if (no !== "") {
        says.textContent = `${no} Press another, or Escape.`;
        return;
      }
      wait(false);
      says.textContent = "";
      give(ed, i, k, /** @type {string} */ (keyOfPress(e)));
    } }, idle);
  return b;
}

/** @param {Editor} ed @param {string} id @param {number} i @param {number} k */
function chooser(ed, id, i, k) {
  const { book } = ed.draft;
  const own = book.lanes[i].codes[k].key;
  const free = [];
  const taken = [];
  for (const key of letters(ed.data.desk_keys)) {
    const other = holder(book, key);
    const shown = `${capOfKey(key)}${key !== key.toLowerCase() ? " (with Shift)" : ""}`;
    if (!other || key === own) free.push(el("option", { value: key }, shown));
    else taken.push(el("option", { value: key }, `${shown}: ${other.code.name}`));
  }
  const input = el("select", { id, onchange: () => give(ed, i, k, input.value) }, el("option", { value: "" }, "none"),
    el("optgroup", { label: "free" }, ...free), el("optgroup", { label: "taken by" }, ...taken));
  if (own && !input.querySelector(`option[value="${CSS.escape(own)}"]`)) input.append(el("option", { value: own }, `${own} (can't be a key)`));
  input.value = own ?? "";
  return input;
}
