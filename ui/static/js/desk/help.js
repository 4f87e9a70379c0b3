// @ts-check
// The help: every key, drawn from the table that handles them and from the book.
import { el } from "../shared/dom.js";
import { FIXED, capOf, capOfKey } from "./keytable.js";
import { CAUTIONS } from "./cautions.js";

/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./book.js").Code} Code */

const TITLES = { code: "Coding", time: "Time", event: "Events", page: "Page" };

const RULES = [
  "A key acts on the frame that is on the screen when it goes down.",
  "Exercises, errors, off-task, breaks and all that lasts: on, and off with the same key. In one lane only one runs; the next ends the one before.",
  "Digits after a key give the level of pressure or choose the kind; any other key closes the entry. The last level of a scale is kept. Decimals by the point of the number pad.",
  "A pressure key again within a second is one tap more. Steady pressure, help, stress signs and remarks: hold the key for as long as it lasts.",
  "An answered cue or halt starts the exercise that it asked for, a release starts free time. A cue for something else ends a stay. What is out of position ends with the heel work, a break with its stay.",
];

export class Help {
  /**
   * @param {HTMLDialogElement} dialog
   * @param {(on: boolean) => void} switched coding keys on or off
   */
  constructor(dialog, switched) {
    this.dialog = dialog;
    this.switched = switched;
    this.on = true;
    dialog.addEventListener("click", (e) => {
      if (e.target === dialog) dialog.close();
    });
    dialog.addEventListener("keydown", (e) => {
      if (e.key !== "?") return;
      e.preventDefault(); // or the desk would open it again
      dialog.close();
    });
  }

  /** @param {Book} book @param {string[]} conflicts */
  show(book, conflicts) {
    const keys = el("input", { type: "checkbox", onchange: () => {
      this.on = keys.checked;
      this.switched(this.on);
    } });
    keys.checked = this.on;
    // In focus first: the arrows and Space then move through the text, and no key
    // switches anything by accident.
    const title = el("h2", { id: "help-title", tabindex: "-1", autofocus: true }, "Keys");
    this.dialog.replaceChildren(
      el("div", { class: "help-head" }, title,
        el("label", {}, keys, "letters and signs act as keys"),
        el("button", { type: "button", onclick: () => this.dialog.close() }, "close")),
      ...conflicts.map((c) => el("p", { class: "notice wrong" }, c)),
      el("div", { class: "help-columns" },
        ...(/** @type {("code" | "time" | "event" | "page")[]} */ (["code", "time", "event", "page"])).map((group) => el("section", {}, el("h3", {}, TITLES[group]),
          el("dl", {}, ...FIXED.filter((f) => f.group === group).flatMap((f) => [el("dt", {}, el("kbd", {}, capOf(f.action))), el("dd", {}, f.label)])))),
        el("section", {}, el("h3", {}, "How keys act"), el("ul", {}, ...RULES.map((r) => el("li", {}, r)))),
        ...book.lanes.map((lane) => el("section", {}, el("h3", {}, lane.name + (lane.exclusive ? " (one at a time)" : "")),
          el("dl", {}, ...lane.codes.flatMap((c) => [el("dt", {}, book.keyOf(c) ? el("kbd", {}, capOfKey(book.keyOf(c))) : "–"), this.meaning(c)])))),
        el("section", { class: "cautions" }, el("h3", {}, "Before anything else"), el("ul", {}, ...CAUTIONS.map((c) => el("li", {}, c))))));
    this.dialog.showModal();
    this.dialog.scrollTop = 0;
  }

  /** @param {Code} code */
  meaning(code) {
    const { starts, ends, not } = code.definition ?? {};
    return el("dd", {}, el("b", {}, code.name), starts && ` starts: ${starts}.`, ends && ` Ends: ${ends}.`, not && ` Not: ${not}.`,
      code.picks?.length ? ` Digits: ${code.picks.slice(0, 10).map((p, i) => `${(i + 1) % 10} ${p}`).join(", ")}.` : null);
  }
}
