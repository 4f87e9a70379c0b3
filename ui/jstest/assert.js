// @ts-check
// The checks and the register of tests. A test file calls test() at its top
// level; run.js imports it and runs what it registered, in order.

/** @type {{name: string, fn: () => unknown}[]} */
export const registered = [];

/**
 * Registers a test; fn may be async, and fails by throwing.
 * @param {string} name
 * @param {() => unknown} fn
 */
export function test(name, fn) {
  registered.push({ name, fn });
}

/** @param {string} message @returns {never} */
export function fail(message) {
  throw new Error(message);
}

/** @param {unknown} value @param {string} message */
export function ok(value, message) {
  if (!value) fail(message);
}

/**
 * Compares by content: numbers exactly (NaN equals NaN, -0 equals 0), arrays and
 * typed arrays by elements, sets and plain objects by entries.
 * @param {unknown} got
 * @param {unknown} want
 * @param {string} [what] names what was looked at
 */
export function equal(got, want, what = "value") {
  const g = show(got);
  const w = show(want);
  if (g !== w) fail(`${what} = ${g}, want ${w}`);
}

/**
 * @param {number} got @param {number} want @param {number} within
 * @param {string} [what]
 */
export function near(got, want, within, what = "value") {
  if (!(Math.abs(got - want) <= within)) fail(`${what} = ${got}, want ${want} within ${within}`);
}

/** @param {() => unknown} fn @param {string} part of the message */
export function throws(fn, part) {
  try {
    fn();
  } catch (e) {
    ok(String(e).includes(part), `threw ${e}, want a message with ${part}`);
    return;
  }
  fail(`did not throw, want an error with ${part}`);
}

/** A promise for the next repaint, after its frame callbacks ran. */
export const nextFrame = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));

/** @param {unknown} v @returns {string} a text that is equal for equal content */
function show(v) {
  if (v === undefined || typeof v === "function" || typeof v === "bigint") return String(v);
  if (typeof v === "number") return Object.is(v, -0) ? "0" : String(v);
  if (v === null || typeof v !== "object") return JSON.stringify(v);
  const tag = Object.prototype.toString.call(v);
  if (tag === "[object Set]" || tag === "[object Map]") return tag + show([.../** @type {Set<unknown>} */ (v)].sort());
  if (ArrayBuffer.isView(v)) return show(Array.from(/** @type {any} */ (v)));
  if (Array.isArray(v)) return `[${v.map(show).join(", ")}]`;
  return `{${Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)).map(([k, x]) => `${k}: ${show(x)}`).join(", ")}}`;
}
