// @ts-check
// The page of a session: remembers who codes, prints, and shows frame tables and
// copies for the browser getting ready.

import { setText } from "../shared/dom.js";
import { ask } from "./ask.js";
import { newer } from "./job.js";
import { follow } from "./stream.js";

const READER = "afterwalk.reader";

const readers = /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input.reader"));
const last = localStorage.getItem(READER);
for (const input of readers) {
  if (last && input.value === "") input.value = last; // who is set, or coded here before, goes first
  input.form?.addEventListener("submit", () => localStorage.setItem(READER, input.value.trim()));
}

const print = /** @type {HTMLButtonElement | null} */ (document.querySelector("#print"));
if (print) {
  print.hidden = false;
  print.addEventListener("click", () => window.print());
}

addEventListener("pageshow", (e) => e.persisted && location.reload()); // come back to, from the desk most often

/** @type {Map<string, import("./job.js").Job>} */
const known = new Map();

/**
 * What a job says on the page, by kind, while it runs, while it waits and when it is done.
 * @type {Record<string, {place: string, running: (percent: number) => string, waiting: string, done: string, failed: string}>}
 */
const WORDS = {
  frames: {
    place: "[data-frames]", running: (n) => `Its frames are being read: ${n} %. It can be coded already.`,
    waiting: "Its frames are being read. It can be coded already.", done: "Its frames are read.",
    failed: "Its frames could not be read; steps are not by frames.",
  },
  proxy: {
    place: "[data-proxy]", running: (n) => `A copy that the browser can play is being made: ${n} %.`,
    waiting: "A copy that the browser can play waits for its turn.", done: "A copy that the browser can play is made. The clip can be coded.",
    failed: "The copy for the browser could not be made.",
  },
};

/** @param {import("./job.js").Job} job */
function show(job) {
  const words = WORDS[job.kind];
  if (!words || !newer(known.get(job.id), job)) return;
  known.set(job.id, job);
  for (const clip of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-clip]"))) {
    if (clip.dataset.clip !== job.clip) continue;
    const says = /** @type {HTMLElement} */ (clip.querySelector(words.place));
    if (job.state === "running") setText(says, words.running(Math.floor(job.done * 100)));
    else if (job.state === "waiting") setText(says, words.waiting);
    else if (job.state === "done") setText(says, words.done);
    else setText(says, job.message || words.failed);
  }
}

if (document.querySelector('[data-frames="wanted"], [data-proxy="wanted"]')) {
  const page = new AbortController();
  addEventListener("pagehide", () => page.abort());
  follow((n) => {
    if (n.kind === "job") show(n.data);
    else if (n.kind === "open") ask("/api/jobs").then(({ jobs }) => jobs.forEach(show)).catch(() => {}); // asked again with the next "open"
  }, page.signal);
}
