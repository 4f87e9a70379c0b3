// @ts-check
// Keeps the page's reading up with the server's: fetches it at the start, and
// again when the event stream tells of changes that other pages made.
import { follow } from "../pages/stream.js";

/** @typedef {import("./reading.js").Reading} Reading */

/**
 * @typedef {object} Told
 * @property {(answer: any) => void} take a reading as it is on the server
 * @property {(text: string) => void} trouble with the first fetch, "" when it is over
 * @property {() => void} back the server is there, or there again
 * @property {(job: import("../pages/job.js").Job) => void} job has changed
 */

export class KeepUp {
  /**
   * @param {string} url of the reading
   * @param {string} id
   * @param {Reading} reading
   * @param {Told} told
   * @param {AbortSignal} signal
   */
  constructor(url, id, reading, told, signal) {
    this.url = url;
    this.id = id;
    this.reading = reading;
    this.told = told;
    this.signal = signal;
    this.loaded = false;
    this.heard = 0; // newest revision that the stream told of
    this.fetching = false;
    this.again = false;
  }

  /** Resolves when the reading is there for the first time; asks until it is. */
  async start() {
    follow((n) => this.hear(n), this.signal); // first, so that nothing falls between
    for (let wait = 250; !this.loaded; wait = Math.min(wait * 2, 5000)) {
      try {
        const reply = await fetch(this.url, { signal: this.signal });
        const answer = await reply.json();
        if (reply.ok) {
          this.told.trouble("");
          this.told.take(answer);
          this.loaded = true;
          return;
        }
        this.told.trouble(`${answer.error?.message ?? "The reading can't be shown."} ${answer.error?.hint ?? ""}`);
      } catch (e) {
        if (this.signal.aborted) throw e;
        this.told.trouble("The server does not answer. Trying again …");
      }
      await new Promise((done) => setTimeout(done, wait));
    }
  }

  /**
   * Asks for the reading anew. An answer that is older than what was acknowledged
   * meanwhile is asked for again, though not for ever: a library may have been
   * brought back from a copy.
   */
  async refetch() {
    this.again = true;
    if (this.fetching) return;
    this.fetching = true;
    try {
      for (let tries = 0; this.again; tries++) {
        this.again = false;
        const reply = await fetch(this.url, { signal: this.signal });
        if (!reply.ok) return;
        const answer = await reply.json();
        if (answer.revision < this.reading.newest && tries < 3) this.again = true;
        else this.told.take(answer);
      }
    } catch {
      // The stream tells when the server is back, and then it is asked again.
    } finally {
      this.fetching = false;
    }
  }

  /** @param {import("../pages/stream.js").Notice} n */
  hear(n) {
    if (n.kind === "open") {
      this.told.back();
      if (this.loaded) this.refetch();
    } else if (n.kind === "reading" && n.data.reading === this.id) {
      this.heard = Math.max(this.heard, n.data.revision);
      this.catchUp();
    } else if (n.kind === "job") this.told.job(n.data);
  }

  /** Asks for what other pages changed, once nothing of this page is on the way. */
  catchUp() {
    if (!this.loaded || this.reading.waiting.length > 0 || this.heard <= this.reading.revision) return;
    this.heard = this.reading.revision;
    this.refetch();
  }
}
