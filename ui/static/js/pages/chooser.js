// @ts-check
// The list of a folder's clips and folders, as the server shows it: folders are
// buttons that lead in, clips are boxes to tick. Plain controls throughout, so
// that the keyboard alone will do.

import { el } from "../shared/dom.js";
import { ask, words } from "./ask.js";

/**
 * @typedef {{name: string, path: string, dir: boolean, video: boolean, size: number}} Entry
 * @typedef {{path: string, parent: string, entries: Entry[], roots: {name: string, path: string}[], more?: number}} Folder
 */

/** @param {string} id */
const byID = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

export class Chooser {
  /**
   * @param {{path: string, name: string}[]} places
   * @param {() => void} changed called when the choice changes
   */
  constructor(places, changed) {
    /** Paths that are chosen, with whether each is a folder. @type {Map<string, boolean>} */
    this.chosen = new Map();
    this.changed = changed;
    this.places = places;
    /** @type {Folder | null} */
    this.folder = null;
    this.up = /** @type {HTMLButtonElement} */ (byID("up"));
    this.whole = /** @type {HTMLInputElement} */ (byID("whole"));
    this.up.addEventListener("click", () => this.folder?.parent && this.open(this.folder.parent));
    this.whole.addEventListener("change", () => this.folder && this.choose(this.folder.path, true, this.whole.checked));
  }

  /**
   * Shows a folder; "" is the first place.
   * @param {string} path
   * @param {boolean} [focus] move the focus to the folder's name
   */
  async open(path, focus = true) {
    this.asked?.abort();
    const asked = (this.asked = new AbortController());
    const wrong = byID("folder-wrong");
    try {
      const folder = await ask(`/api/choose?path=${encodeURIComponent(path)}`, { signal: asked.signal });
      wrong.hidden = true;
      this.folder = folder;
      this.draw();
      if (focus) byID("folder").focus();
    } catch (e) {
      if (asked.signal.aborted) return;
      wrong.textContent = words(e);
      wrong.hidden = false;
    }
  }

  /**
   * @param {string} path
   * @param {boolean} dir
   * @param {boolean} on
   */
  choose(path, dir, on) {
    if (on) this.chosen.set(path, dir);
    else this.chosen.delete(path);
    this.draw();
    this.changed();
  }

  /** The chosen folder that path lies in, "" if none. @param {string} path */
  inside(path) {
    for (const [p, dir] of this.chosen) {
      if (dir && path !== p && (path.startsWith(p.endsWith("/") || p.endsWith("\\") ? p : p + "/") || path.startsWith(p + "\\"))) return p;
    }
    return "";
  }

  draw() {
    const f = this.folder;
    if (!f) return;
    byID("folder").textContent = f.path;
    this.up.disabled = !f.parent;
    byID("places").replaceChildren(...f.roots.map((r) =>
      el("button", { type: "button", class: "link", "aria-current": r.path === f.path ? "true" : null, onclick: () => this.open(r.path) }, r.name)));
    const covered = this.inside(f.path);
    this.whole.checked = this.chosen.has(f.path) || covered !== "";
    this.whole.disabled = covered !== "";
    const shown = f.entries.filter((e) => e.dir || e.video);
    // Rows that stay keep their nodes, and with them the focus.
    const list = byID("entries");
    if (list.dataset.path !== f.path) {
      list.replaceChildren(...shown.map((e) => this.row(e)));
      list.dataset.path = f.path;
    }
    for (const box of list.querySelectorAll("input")) {
      const inFolder = this.whole.checked;
      box.checked = inFolder || this.chosen.has(box.value);
      box.disabled = inFolder;
    }
    const note = byID("folder-note");
    const others = f.entries.length - shown.length;
    const says = [];
    if (shown.length === 0) says.push("No clips here.");
    if (others > 0) says.push(others === 1 ? "One other file is not shown." : `${others} other files are not shown.`);
    if (f.more) says.push(`${f.more} more don't fit here; choose the whole folder to add them.`);
    note.textContent = says.join(" ");
    note.hidden = says.length === 0;
  }

  /** @param {Entry} e */
  row(e) {
    if (e.dir) {
      return el("li", {}, el("button", { type: "button", class: "link entry", onclick: () => this.open(e.path) }, el("span", { "aria-hidden": "true" }, "▸ "), e.name, el("span", { class: "visually-hidden" }, ", folder")));
    }
    const box = el("input", { type: "checkbox", value: e.path, onchange: () => this.choose(e.path, false, box.checked) });
    return el("li", {}, el("label", { class: "entry" }, box, el("span", { class: "entry-name" }, e.name), el("span", { class: "muted size" }, sizeLabel(e.size))));
  }
}

/** A size for people: 196 MB. @param {number} bytes */
export function sizeLabel(bytes) {
  if (bytes >= 1e9) return `${(bytes / 1e9).toFixed(1)} GB`;
  if (bytes >= 1e6) return `${(bytes / 1e6).toFixed(0)} MB`;
  return `${Math.ceil(bytes / 1e3)} kB`;
}
