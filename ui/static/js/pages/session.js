// @ts-check
// The page of a session: remembers who codes, and shows frame tables getting ready.

import { setText } from "../shared/dom.js";
import { ask } from "./ask.js";
import { newer } from "./job.js";
import { follow } from "./stream.js";

const READER = "afterwalk.reader";

const readers = /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input.reader"));
const last = localStorage.getItem(READER);
for (const input of readers) {
  if (last) input.value = last;
  input.form?.addEventListener("submit", () => localStorage.setItem(READER, input.value.trim()));
}

addEventListener("pageshow", (e) => e.persisted && location.reload()); // come back to, from the desk most often

/** @type {Map<string, import("./job.js").Job>} */
const known = new Map();

/** @param {import("./job.js").Job} job */
function show(job) {
  if (job.kind !== "frames" || !newer(known.get(job.id), job)) return;
  known.set(job.id, job);
  for (const clip of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-clip]"))) {
    if (clip.dataset.clip !== job.clip) continue;
    const says = /** @type {HTMLElement} */ (clip.querySelector("[data-frames]"));
    if (job.state === "running") setText(says, `Its frames are being read: ${Math.floor(job.done * 100)} %. It can be coded already.`);
    else if (job.state === "waiting") setText(says, "Its frames are being read. It can be coded already.");
    else if (job.state === "done") setText(says, "Its frames are read.");
    else setText(says, job.message || "Its frames could not be read; steps are not by frames.");
  }
}

if (document.querySelector('[data-frames="wanted"]')) {
  const page = new AbortController();
  addEventListener("pagehide", () => page.abort());
  follow((n) => {
    if (n.kind === "job") show(n.data);
    else if (n.kind === "open") ask("/api/jobs").then(({ jobs }) => jobs.forEach(show)).catch(() => {}); // asked again with the next "open"
  }, page.signal);
}
