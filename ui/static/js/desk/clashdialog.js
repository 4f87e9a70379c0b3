// @ts-check
// Two pages changed the same event: shows both, event by event, and asks which
// one stays.
import { el } from "../shared/dom.js";
import { lineOf } from "./describe.js";

/** @typedef {import("./queue.js").Clash} Clash */
/** @typedef {import("./book.js").Book} Book */

export class ClashDialog {
  /**
   * @param {HTMLDialogElement} dialog
   * @param {(mine: Set<string>) => void} chosen
   */
  constructor(dialog, chosen) {
    this.dialog = dialog;
    this.chosen = chosen;
    dialog.addEventListener("cancel", (e) => e.preventDefault()); // it has to be answered
  }

  /** @param {Clash} clash @param {Book} book */
  show({ edit, conflicts }, book) {
    /** @type {Map<string, "mine" | "theirs">} */
    const choice = new Map();
    const save = el("button", { type: "button", class: "main", disabled: true, onclick: () => this.close(choice) }, "Keep what I chose");
    const choose = (/** @type {string} */ id, /** @type {"mine" | "theirs"} */ which) => {
      choice.set(id, which);
      save.disabled = choice.size < conflicts.length;
    };
    const line = (/** @type {any} */ e) => (e ? lineOf(book, e, 3) : "removed");
    this.dialog.replaceChildren(
      el("h2", {}, "Changed on another page too"),
      el("p", {}, `Your edit “${edit.label}” touches what was changed elsewhere in the meantime. Nothing of it is lost yet: choose what stays.`),
      ...conflicts.map((c, i) => el("fieldset", {}, el("legend", {}, conflicts.length > 1 ? `Event ${i + 1}` : "Event"),
        el("label", {}, el("input", { type: "radio", name: `clash-${i}`, value: "mine", onchange: () => choose(c.id, "mine") }), el("span", {}, "keep mine: ", el("b", {}, line(c.yours)))),
        el("label", {}, el("input", { type: "radio", name: `clash-${i}`, value: "theirs", onchange: () => choose(c.id, "theirs") }), el("span", {}, "keep theirs: ", el("b", {}, line(c.now)))))),
      el("p", {}, save));
    if (!this.dialog.open) this.dialog.showModal();
  }

  /** @param {Map<string, "mine" | "theirs">} choice */
  close(choice) {
    this.dialog.close();
    this.chosen(new Set([...choice].filter(([, which]) => which === "mine").map(([id]) => id)));
  }
}
