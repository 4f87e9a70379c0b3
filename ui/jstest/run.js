// @ts-check
// Runs one test file in this page and hands back what came of it.
import { registered } from "./assert.js";

/** @type {string[]} */
const stray = [];
addEventListener("error", (e) => stray.push(`uncaught: ${e.message} (${e.filename}:${e.lineno})`));
addEventListener("unhandledrejection", (e) => stray.push(`unhandled rejection: ${e.reason?.stack ?? e.reason}`));
addEventListener("securitypolicyviolation", (e) => stray.push(`blocked by the security policy: ${e.violatedDirective} ${e.blockedURI}`));

/**
 * @param {string} file below /jstest/
 * @returns {Promise<{name: string, failure: string}[]>} failure is "" for a pass;
 *   a file that can't be loaded rejects
 */
export async function run(file) {
  await import(`/jstest/${file}`);
  const results = [];
  for (const { name, fn } of registered) {
    let failure = "";
    try {
      await fn();
    } catch (e) {
      failure = /** @type {any} */ (e)?.stack || String(e) || "threw nothing";
    }
    if (stray.length > 0) failure = [failure, ...stray.splice(0)].filter(Boolean).join("\n");
    document.body.replaceChildren();
    results.push({ name, failure });
  }
  return results;
}

Object.assign(window, { run });
