// @ts-check
// The page of the book: takes up unsaved changes, reads book files, and hears of
// versions saved elsewhere.
import { el, pageData } from "../../shared/dom.js";
import { learnLayout } from "../../desk/keytable.js";
import { words } from "../ask.js";
import { follow } from "../stream.js";
import { Draft } from "./draft.js";
import { Editor } from "./editor.js";
import { SaveBar } from "./save.js";

const data = pageData();
const root = /** @type {HTMLElement} */ (document.getElementById("editor"));
data.book.ladder ??= [];
data.book.house ??= {};
data.book.lanes ??= [];
const draft = new Draft(data.book, data.version, data.library);
const older = draft.older();
const restored = draft.restore();
const editor = new Editor(root, data, draft);
let saving = false;
const bar = new SaveBar(editor, () => (saving = true));

/** @param {...(Node | string)} says a line above the editor */
function notice(...says) {
  root.before(el("p", { class: "notice", role: "status" }, ...says));
}

if (restored) notice("Your unsaved changes are here again.");
if (older !== null) {
  const link = el("button", { type: "button", class: "link", id: "take-older", onclick: () => {
    const from = new Draft(data.book, older, data.library);
    const text = localStorage.getItem(from.key);
    from.forget();
    link.closest("p")?.remove();
    if (!text) return;
    draft.change(`unsaved changes to version ${older}`, (b) => Object.assign(b, JSON.parse(text), { version: b.version }));
    editor.say(`Your changes to version ${older} are taken up. What they change from version ${data.version} is shown before saving.`);
  } }, "Take them up");
  const away = el("button", { type: "button", class: "link", onclick: () => {
    new Draft(data.book, older, data.library).forget();
    away.closest("p")?.remove();
  } }, "Throw them away");
  notice(`Unsaved changes to version ${older} are kept in this browser; version ${data.version} was saved since. `, link, " ", away);
}

// Reading a book file.
const file = el("input", { type: "file", id: "import-file", accept: ".json,application/json", class: "visually-hidden", onchange: async () => {
  const chosen = file.files?.[0];
  if (!chosen) return;
  try {
    const reply = await fetch("/api/book/read", { method: "POST", headers: { "Content-Type": "application/json" }, body: chosen });
    const read = await reply.json();
    if (!reply.ok) throw Object.assign(new Error(), { name: "Wrong", message: read.error?.message ?? `The answer was ${reply.status}.`, hint: read.error?.hint ?? "", problems: read.problems });
    editor.view.open.clear();
    editor.view.raw.clear();
    draft.change(`import of ${chosen.name}`, (b) => {
      const { id, version } = b;
      for (const k of Object.keys(b)) delete b[k];
      Object.assign(b, read.book, { id, version });
      b.house ??= {};
    });
    told.className = "notice";
    told.replaceChildren(`${chosen.name} is read: ${read.changes.length === 0 ? "it is as the newest version" : `${read.changes.length} changes from version ${draft.version}`}. Nothing is saved yet.`);
  } catch (e) {
    const w = /** @type {any} */ (e);
    told.className = "notice wrong";
    told.replaceChildren(`${chosen.name} was not read, and nothing was changed. `, w.problems?.length > 1 ? el("ul", {}, ...w.problems.map((/** @type {any} */ p) => el("li", {}, `${p.message} ${p.hint}`.trim()))) : words(e));
  }
  told.hidden = false;
  file.value = "";
} });
const told = el("div", { class: "notice", role: "status", id: "import-says", hidden: true });
document.querySelector(".book-links")?.append(file, el("label", { class: "as-link", for: "import-file" }, "Import from a file"));
root.before(told);

addEventListener("beforeunload", (e) => {
  if (!saving && draft.dirty) e.preventDefault();
});
addEventListener("pageshow", (e) => e.persisted && location.reload());
const page = new AbortController();
addEventListener("pagehide", () => page.abort());
follow((n) => {
  if (n.kind === "book") bar.newer(n.data.version).catch(() => {}); // saving finds it again
}, page.signal);

editor.draw();
editor.check();
learnLayout().then((told) => told && editor.draw());
Object.assign(window, { book: editor });
