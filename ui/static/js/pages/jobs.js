// @ts-check
// The page of jobs: what is under way and what has ended, kept up to date. The
// rows that the server sent make way for live ones once they are known.

import { el, setText } from "../shared/dom.js";
import { ask, words } from "./ask.js";
import { ended, JobRow, newer } from "./job.js";
import { follow } from "./stream.js";

/** @param {string} id */
const byID = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** @type {Map<string, JobRow>} */
const rows = new Map();

/** @param {import("./job.js").Job} job */
function show(job) {
  const known = rows.get(job.id);
  if (!newer(known?.job, job)) return;
  const before = known?.job.state;
  const row = known ?? new JobRow(job);
  if (known) row.update(job);
  else {
    rows.set(job.id, row);
    if (job.clip) row.state.after(el("a", { class: "clip-link", href: `/clips/${encodeURIComponent(job.clip)}` }, "the clip"));
  }
  if (ended(job)) {
    if (before === undefined || row.node.parentElement !== byID("ended")) byID("ended").prepend(row.node);
    if (before !== undefined && before !== job.state) setText(byID("told"), `${job.title}: ${job.state}. ${job.message}`);
  } else if (row.node.parentElement !== byID("running")) {
    byID("running").prepend(row.node);
  }
  byID("ended-section").hidden = byID("ended").childElementCount === 0;
  byID("idle").hidden = byID("running").childElementCount > 0;
}

let first = true;

// What the server knows of its jobs, in the order in which they were begun: asked
// for at the start, and again whenever notices may have been missed.
async function refresh() {
  const { jobs } = await ask("/api/jobs");
  if (first) {
    const focused = /** @type {HTMLElement | null} */ (document.activeElement?.closest("[data-job]"))?.dataset.job;
    byID("running").replaceChildren();
    byID("ended").replaceChildren();
    for (const row of rows.values()) row.node.remove();
    rows.clear();
    first = false;
    jobs.forEach(show);
    byID("idle").hidden = byID("running").childElementCount > 0;
    if (focused) rows.get(focused)?.stop.focus();
  } else {
    jobs.forEach(show);
  }
  byID("jobs-wrong").hidden = true;
}

/** @param {any} e */
function wrong(e) {
  byID("jobs-wrong").textContent = words(e);
  byID("jobs-wrong").hidden = false;
}

const page = new AbortController();
addEventListener("pagehide", () => page.abort());
addEventListener("pageshow", (e) => e.persisted && location.reload()); // come back to: things went on meanwhile
follow((n) => {
  if (n.kind === "job" && !first) show(n.data);
  else if (n.kind === "open") refresh().catch(wrong);
}, page.signal);
refresh().catch(wrong);
