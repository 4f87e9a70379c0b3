// @ts-check
// The page for adding clips: choose, send, watch.

import { el, pageData } from "../shared/dom.js";
import { ask, words } from "./ask.js";
import { Chooser } from "./chooser.js";
import { ended, JobRow, newer } from "./job.js";
import { follow } from "./stream.js";

/** @param {string} id */
const byID = (id) => /** @type {HTMLElement} */ (document.getElementById(id));
const form = /** @type {HTMLFormElement} */ (byID("add-form"));
const dog = /** @type {HTMLInputElement} */ (byID("dog"));
const gap = /** @type {HTMLInputElement} */ (byID("gap"));
const button = /** @type {HTMLButtonElement} */ (byID("add"));

const chooser = new Chooser(pageData().places, drawChosen);

function drawChosen() {
  byID("none-chosen").hidden = chooser.chosen.size > 0;
  if (chooser.chosen.size > 0) settle("paths");
  byID("chosen").replaceChildren(...[...chooser.chosen].map(([path, dir]) =>
    el("li", {},
      el("span", { class: "path" }, path),
      dir && el("span", { class: "muted" }, "the whole folder"),
      el("button", {
        type: "button", class: "push", "aria-label": `Leave out ${path}`,
        onclick: () => {
          chooser.choose(path, dir, false);
          (byID("chosen").querySelector("button") ?? byID("folder")).focus();
        },
      }, "Leave out"))));
}

// Words about a field stand beside it; all others in the notice at the foot.
const FIELDS = { dog: "dog-wrong", paths: "paths-wrong", gap_min: "gap-wrong" };
const INPUTS = { dog, gap_min: gap };

/** Takes the words about a field away once it is changed. @param {string} field */
function settle(field) {
  byID(FIELDS[field]).hidden = true;
  INPUTS[field]?.removeAttribute("aria-invalid");
  byID("form-wrong").hidden = true;
}
for (const [field, input] of Object.entries(INPUTS)) input.addEventListener("input", () => settle(field));

/** @param {any} e */
function showWrong(e) {
  for (const id of Object.values(FIELDS)) byID(id).hidden = true;
  for (const input of Object.values(INPUTS)) input.removeAttribute("aria-invalid");
  const foot = byID("form-wrong");
  foot.hidden = true;
  foot.replaceChildren();
  if (!e) return;
  if (e.name !== "Wrong") throw e;
  let first = null;
  for (const p of e.problems) {
    const says = document.getElementById(FIELDS[p.field] ?? "");
    if (!says) continue;
    says.textContent = `${says.hidden ? "" : says.textContent + " "}${p.message} ${p.hint}`;
    says.hidden = false;
    says.closest("details")?.setAttribute("open", "");
    INPUTS[p.field]?.setAttribute("aria-invalid", "true");
    first ??= INPUTS[p.field] ?? byID("folder");
  }
  if (first) first.focus();
  foot.append(el("p", {}, first ? "Nothing was added yet: see above." : words(e)));
  foot.hidden = false;
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  showWrong(null);
  button.disabled = true;
  try {
    await ask("/api/add", {
      body: { dog: dog.value, paths: [...chooser.chosen.keys()], gap_min: gap.value === "" ? undefined : Number(gap.value) },
    });
    chooser.chosen.clear();
    chooser.draw();
    drawChosen();
    await refresh();
    byID("work-title").setAttribute("tabindex", "-1");
    byID("work-title").focus();
  } catch (e) {
    showWrong(e);
  } finally {
    button.disabled = false;
  }
});

/** @type {Map<string, JobRow>} */
const rows = new Map();

/** @param {import("./job.js").Job} job */
function show(job) {
  const before = rows.get(job.id)?.job;
  if (!newer(before, job)) return;
  if (before && before.state !== job.state && ended(job)) byID("told").textContent = `${job.title}: ${job.state}. ${job.message}`;
  const row = rows.get(job.id);
  if (row) {
    row.update(job);
  } else {
    const made = new JobRow(job);
    rows.set(job.id, made);
    byID("jobs").prepend(made.node);
  }
  byID("work").hidden = false;
}

// What the server knows of its jobs: asked for at the start, and again whenever
// notices may have been missed.
async function refresh() {
  const { jobs } = await ask("/api/jobs");
  for (const job of jobs) if (job.kind === "add" || !ended(job) || rows.has(job.id)) show(job);
}

const page = new AbortController();
addEventListener("pagehide", () => page.abort());
addEventListener("pageshow", (e) => e.persisted && location.reload()); // come back to: things went on meanwhile
follow((n) => {
  if (n.kind === "job") show(n.data);
  else if (n.kind === "open") refresh().catch(() => {}); // the stream tries again by itself
}, page.signal);
chooser.open("", false);
refresh().catch(showWrong);
