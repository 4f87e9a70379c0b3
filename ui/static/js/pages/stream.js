// @ts-check
// What the server tells of jobs, readings and the book, on one connection however many
// pages are open: the page that holds the lock listens and tells the others.

const LOCK = "afterwalk-pages-stream";
const CHANNEL = "afterwalk-pages-stream";

/**
 * @typedef {{kind: "open"} | {kind: "lost"} | {kind: "reading", data: {reading: string, revision: number}} | {kind: "job", data: import("./job.js").Job} | {kind: "book", data: {version: number}}} Notice
 */

/**
 * Calls `tell` for every notice until `signal` is aborted. "open" comes when the
 * stream is there (again): what was missed has to be asked for then.
 * @param {(n: Notice) => void} tell
 * @param {AbortSignal} signal
 */
export function follow(tell, signal) {
  const channel = new BroadcastChannel(CHANNEL);
  channel.addEventListener("message", (e) => tell(e.data), { signal });
  signal.addEventListener("abort", () => channel.close());
  /** @param {Notice} n */
  const both = (n) => {
    if (signal.aborted) return;
    tell(n);
    channel.postMessage(n);
  };
  navigator.locks
    .request(LOCK, { signal }, () => new Promise((done) => {
      const source = new EventSource("/api/stream");
      source.addEventListener("open", () => both({ kind: "open" }));
      source.addEventListener("error", () => both({ kind: "lost" }));
      source.addEventListener("reading", (e) => both({ kind: "reading", data: JSON.parse(e.data) }));
      source.addEventListener("job", (e) => both({ kind: "job", data: JSON.parse(e.data) }));
      source.addEventListener("book", (e) => both({ kind: "book", data: JSON.parse(e.data) }));
      signal.addEventListener("abort", () => {
        source.close();
        done(undefined);
      });
    }))
    .catch((e) => {
      if (!signal.aborted) throw e;
    });
}
