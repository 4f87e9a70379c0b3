// @ts-check
// Requests to the server. What goes wrong comes back as Wrong, with words for
// the person.

/** An error with a sentence and a hint for the person. */
export class Wrong extends Error {
  /**
   * @param {string} message
   * @param {string} hint
   * @param {{field: string, message: string, hint: string}[]} [problems]
   */
  constructor(message, hint, problems = []) {
    super(message);
    this.name = "Wrong";
    this.hint = hint;
    this.problems = problems;
  }
}

/**
 * The JSON that the server answers with; null for an empty answer.
 * @param {string} path
 * @param {{body?: unknown, method?: string, signal?: AbortSignal}} [with_]
 */
export async function ask(path, { body, method, signal } = {}) {
  let reply;
  try {
    reply = await fetch(path, {
      method: method ?? (body === undefined ? "GET" : "POST"),
      headers: body === undefined ? {} : { "Content-Type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
      signal,
    });
  } catch (e) {
    if (signal?.aborted) throw e;
    throw new Wrong("afterwalk does not answer.", "Is it still running? Start it again, then try once more.");
  }
  const text = await reply.text();
  let data = null;
  try {
    data = text ? JSON.parse(text) : null;
  } catch {
    // told below: what is not JSON can only be an error
  }
  if (!reply.ok) {
    const e = data?.error ?? { message: `The answer was ${reply.status}.`, hint: "Reload the page and try again." };
    throw new Wrong(e.message, e.hint ?? "", data?.problems ?? []);
  }
  return data;
}

/**
 * What to tell the person of an error.
 * @param {any} e
 * @returns {string}
 */
export const words = (e) => (e?.name === "Wrong" ? `${e.message} ${e.hint}` : String(e));
