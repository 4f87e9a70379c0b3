// @ts-check
// One job of the server as a row: what it is, how far, Stop, and what came of it.

import { el, setText } from "../shared/dom.js";
import { ask, words } from "./ask.js";

/**
 * @typedef {{path: string, clip: string, again: boolean, moved: boolean, problem: string}} AddedFile
 * @typedef {object} Job
 * @property {string} id
 * @property {string} kind "add" or "frames"
 * @property {string} title
 * @property {string} clip
 * @property {string} state "waiting", "running", "done", "failed" or "stopped"
 * @property {number} done share, 0 to 1
 * @property {string} message
 * @property {{files: AddedFile[]}} [report]
 */

/** @param {Job} job */
export const ended = (job) => job.state === "done" || job.state === "failed" || job.state === "stopped";

/**
 * Whether `job` may take the place of what was known. A list that was asked for
 * earlier may come later than a notice: what has ended doesn't begin again.
 * @param {Job | undefined} known
 * @param {Job} job
 */
export const newer = (known, job) => !(known && ended(known) && !ended(job));

const STATES = { waiting: "waiting", running: "", done: "done", failed: "failed", stopped: "stopped" };

/** A row that shows a job; `update` it with each notice. */
export class JobRow {
  /** @param {Job} job */
  constructor(job) {
    this.id = job.id;
    this.kind = job.kind;
    this.name = el("span", { class: "job-title" });
    this.bar = el("progress", { max: "1", "aria-label": "How far" });
    this.state = el("span", { class: "muted" });
    this.stop = el("button", { type: "button", class: "push", onclick: () => this.#stop() }, "Stop");
    this.message = el("p", { class: "job-message" });
    this.files = el("ul", { class: "files plain" });
    this.node = el("li", { class: "job", "data-job": job.id }, this.name, this.bar, this.state, this.stop, this.message, this.files);
    this.update(job);
  }

  /** @param {Job} job */
  update(job) {
    this.job = job;
    const over = ended(job);
    setText(this.name, job.title);
    this.stop.setAttribute("aria-label", `Stop: ${job.title}`);
    this.bar.value = job.done;
    this.bar.hidden = over;
    const share = `${Math.floor(job.done * 100)} %`;
    setText(this.state, over || job.state === "waiting" ? STATES[job.state] : share);
    this.state.className = job.state === "failed" ? "wrong-text" : job.state === "done" ? "good-text" : "muted";
    if (over && this.stop.contains(document.activeElement)) document.getElementById("work-title")?.focus();
    this.stop.hidden = over;
    setText(this.message, job.message);
    this.message.hidden = !job.message;
    if (job.report) this.files.replaceChildren(...job.report.files.map(fileRow));
  }

  async #stop() {
    if (this.stop.getAttribute("aria-disabled") === "true") return;
    this.stop.setAttribute("aria-disabled", "true"); // not disabled: that would take the focus away
    try {
      await ask(`/api/jobs/${encodeURIComponent(this.id)}/stop`, { method: "POST" });
    } catch (e) {
      this.stop.removeAttribute("aria-disabled");
      setText(this.message, words(e));
      this.message.hidden = false;
    }
  }
}

/**
 * What became of one file.
 * @param {AddedFile} f
 */
function fileRow(f) {
  const name = f.path.split(/[\\/]/).pop() || f.path;
  const what = f.moved ? "found again at its new place" : f.again ? "in the library already" : f.clip ? "added" : "not added";
  const good = Boolean(f.clip) && !f.problem;
  return el("li", { class: "file" },
    el("span", { class: good ? "good-text" : f.clip ? "muted" : "wrong-text", "aria-hidden": "true" }, good ? "✓" : "!"),
    f.clip ? el("a", { href: `/clips/${encodeURIComponent(f.clip)}`, title: f.path }, name) : el("span", { title: f.path }, name),
    el("span", { class: f.clip ? "muted" : "wrong-text" }, what),
    f.problem && el("span", { class: "problem" }, f.problem));
}
