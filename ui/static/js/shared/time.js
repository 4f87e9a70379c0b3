// @ts-check
// Labels of media time and the ladder of axis ticks. Times are whole or
// fractional microseconds; labels round to the last digit shown before they are
// split into minutes and seconds, so that no label reads 1:60.

export const SECOND = 1e6;
export const MINUTE = 60 * SECOND;
export const HOUR = 60 * MINUTE;

/**
 * The label of a time: 0:35.604, 12:00.000, 1:02:03.500; minus sign before a
 * negative one.
 * @param {number} us
 * @param {number} [digits] decimals of the second, 0 to 6
 * @returns {string}
 */
export function timeLabel(us, digits = 3) {
  const unit = 10 ** (6 - digits);
  const parts = Math.round(Math.abs(us) / unit);
  const perSecond = 10 ** digits;
  const whole = Math.floor(parts / perSecond);
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  const head = hours > 0 ? `${hours}:${two(minutes)}` : String(minutes);
  const tail = digits > 0 ? "." + String(parts % perSecond).padStart(digits, "0") : "";
  return `${us < 0 && parts > 0 ? "\u2212" : ""}${head}:${two(whole % 60)}${tail}`;
}

/** @param {number} n */
const two = (n) => String(n).padStart(2, "0");

/**
 * A length in seconds, without unit: 2.3.
 * @param {number} us
 * @param {number} [digits]
 */
export function secondsLabel(us, digits = 1) {
  const unit = 10 ** (6 - digits);
  const rounded = Math.round(us / unit) * unit;
  return (rounded === 0 ? 0 : rounded / SECOND).toFixed(digits);
}

/**
 * What a person typed as a time: "1:02.5", "62.5", "1:00:03", or "#1068" for a
 * frame; a decimal comma will do. Null for anything else, for minutes or seconds
 * of 60 and more behind a colon, and for negative times.
 * @param {string} text
 * @returns {{us: number} | {frame: number} | null}
 */
export function parseTime(text) {
  const s = text.trim().replace(",", ".");
  const frame = /^#\s*(\d{1,9})$/.exec(s);
  if (frame) return { frame: Number(frame[1]) };
  const m = /^(?:(?:(\d{1,3}):)?(\d{1,4}):)?(\d{1,6}(?:\.\d*)?|\.\d+)$/.exec(s);
  if (!m) return null;
  const seconds = Number(m[3]);
  if (m[2] !== undefined && seconds >= 60) return null;
  if (m[1] !== undefined && Number(m[2]) >= 60) return null;
  const whole = Number(m[1] ?? 0) * 3600 + Number(m[2] ?? 0) * 60;
  return { us: whole * SECOND + Math.round(seconds * SECOND) };
}

// Steps between labelled ticks, each with the number of parts that small ticks
// cut it into.
const LADDER = [
  [1e3, 5], [2e3, 4], [5e3, 5], [10e3, 5], [20e3, 4], [50e3, 5], [100e3, 5], [200e3, 4], [500e3, 5],
  [SECOND, 5], [2 * SECOND, 4], [5 * SECOND, 5], [10 * SECOND, 5], [20 * SECOND, 4], [30 * SECOND, 6],
  [MINUTE, 6], [2 * MINUTE, 4], [5 * MINUTE, 5], [10 * MINUTE, 5], [20 * MINUTE, 4], [30 * MINUTE, 6],
  [HOUR, 6], [2 * HOUR, 4], [5 * HOUR, 5], [10 * HOUR, 5], [20 * HOUR, 4], [50 * HOUR, 5],
];

/**
 * @typedef {object} Ticks
 * @property {number} step µs between labelled ticks
 * @property {number[]} major times of labelled ticks, ascending
 * @property {number[]} minor times of small ticks between them, ascending
 * @property {number} digits decimals that tell neighbouring labels apart
 */

/**
 * The ticks in [from, to], both included, labelled ones at least `gap` pixels
 * apart; none for an empty or negative range.
 * @param {number} from_us
 * @param {number} to_us
 * @param {number} width pixels from from_us to to_us
 * @param {number} [gap]
 * @returns {Ticks}
 */
export function ticks(from_us, to_us, width, gap = 80) {
  const span = to_us - from_us;
  if (!(span > 0) || !(width > 0)) return { step: 0, major: [], minor: [], digits: 0 };
  const least = (span * gap) / width;
  const [step, parts] = LADDER.find(([s]) => s >= least) ?? LADDER[LADDER.length - 1];
  const small = step / parts;
  /** @type {number[]} */
  const major = [];
  /** @type {number[]} */
  const minor = [];
  for (let n = Math.ceil(from_us / small); n * small <= to_us; n++) {
    (n % parts === 0 ? major : minor).push(n * small);
  }
  return { step, major, minor, digits: step >= SECOND ? 0 : step >= 100e3 ? 1 : step >= 10e3 ? 2 : 3 };
}
