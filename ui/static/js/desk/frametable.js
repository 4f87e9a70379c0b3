// @ts-check
// Fetches a clip's frame table, which the server may still be reading.

/** How often it is asked for while it is not there, ms. */
const AGAIN = 1500;

/**
 * Asks for the table until it is there, it has failed, or the signal is aborted.
 * @param {string} url
 * @param {{
 *   got: (frames: Float64Array) => void,
 *   waits: (message: string) => void,
 *   failed: (message: string) => void,
 * }} tell
 * @param {AbortSignal} signal
 * @returns {{again: () => void}} again asks at once, when the server said that a job is done
 */
export function fetchFrames(url, tell, signal) {
  /** @type {() => void} */
  let wake = () => {};
  const pause = () => new Promise((/** @type {(v?: unknown) => void} */ done) => {
    const timer = setTimeout(done, AGAIN);
    wake = () => {
      clearTimeout(timer);
      done();
    };
  });
  (async () => {
    while (!signal.aborted) {
      try {
        const reply = await fetch(url, { signal });
        if (reply.status === 200) {
          const bytes = await reply.arrayBuffer();
          tell.got(new Float64Array(bytes, 0, Math.floor(bytes.byteLength / 8)));
          return;
        }
        if (reply.status === 202) {
          const { state, message } = await reply.json();
          if (state === "failed") {
            tell.failed(message || "The frames of this clip could not be read. Steps go by its frame rate.");
            return;
          }
          tell.waits("The frame table is still being read. Until then steps go by the frame rate.");
        } else if (reply.status < 500) {
          tell.failed("The frames of this clip could not be read. Steps go by its frame rate.");
          return;
        }
      } catch {
        if (signal.aborted) return; // otherwise the server is away: ask again
      }
      await pause();
    }
  })();
  return { again: () => wake() };
}
