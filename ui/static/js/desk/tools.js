// @ts-check
// The buttons that are not about time or codes: undo and redo, captions, finish,
// help.
import { setText } from "../shared/dom.js";
import { capOf } from "./keytable.js";
import { keepFocus } from "./transport.js";

const IDS = /** @type {const} */ (["undo", "redo", "captions", "finish", "help-button"]);

export class Tools {
  /** @param {(action: string) => void} act */
  constructor(act) {
    this.buttons = new Map(IDS.map((id) => [id, /** @type {HTMLButtonElement} */ (document.getElementById(id))]));
    for (const [id, b] of this.buttons) {
      const action = id === "help-button" ? "help" : id;
      b.addEventListener("click", () => act(action));
      b.addEventListener("mousedown", keepFocus);
      b.title = `${b.textContent?.trim()} (${capOf(action)})`;
    }
  }

  /** @param {import("./reading.js").Reading} reading */
  update(reading) {
    for (const way of /** @type {const} */ (["undo", "redo"])) {
      const b = /** @type {HTMLButtonElement} */ (this.buttons.get(way));
      const next = reading.next(way);
      b.disabled = next === null;
      b.title = `${way}${next?.label ? `: ${next.label}` : ""} (${capOf(way)})`;
    }
    setText(/** @type {HTMLButtonElement} */ (this.buttons.get("finish")), reading.shown.finished ? "take up again" : "finish");
  }
}
