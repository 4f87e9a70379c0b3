// @ts-check
// Sets of half-open intervals as sorted, disjoint lists of [start, end).

/** @typedef {import("./types.js").Interval} Interval */

/**
 * Sorts and merges; touching intervals become one, empty ones vanish.
 * @param {Interval[]} list in any order, not changed
 * @returns {Interval[]}
 */
export function union(list) {
  const sorted = list.filter(([a, b]) => b > a).sort((p, q) => p[0] - q[0]);
  /** @type {Interval[]} */
  const out = [];
  for (const [a, b] of sorted) {
    const last = out[out.length - 1];
    if (last && a <= last[1]) last[1] = Math.max(last[1], b);
    else out.push([a, b]);
  }
  return out;
}

/**
 * @param {Interval[]} a a set
 * @param {Interval[]} b a set
 * @returns {Interval[]}
 */
export function intersect(a, b) {
  /** @type {Interval[]} */
  const out = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const low = Math.max(a[i][0], b[j][0]);
    const high = Math.min(a[i][1], b[j][1]);
    if (high > low) out.push([low, high]);
    if (a[i][1] < b[j][1]) i++;
    else j++;
  }
  return out;
}

/**
 * What of a lies outside b.
 * @param {Interval[]} a a set
 * @param {Interval[]} b a set
 * @returns {Interval[]}
 */
export function subtract(a, b) {
  /** @type {Interval[]} */
  const out = [];
  let j = 0;
  for (const [start, end] of a) {
    let from = start;
    while (j < b.length && b[j][1] <= from) j++;
    for (let k = j; k < b.length && b[k][0] < end; k++) {
      if (b[k][0] > from) out.push([from, b[k][0]]);
      from = Math.max(from, b[k][1]);
    }
    if (from < end) out.push([from, end]);
  }
  return out;
}

/**
 * The part of a set in [from, to), found by binary search.
 * @param {Interval[]} set
 * @param {number} from
 * @param {number} to
 * @returns {Interval[]}
 */
export function cut(set, from, to) {
  /** @type {Interval[]} */
  const out = [];
  for (let i = firstEndingAfter(set, from); i < set.length && set[i][0] < to; i++) {
    out.push([Math.max(set[i][0], from), Math.min(set[i][1], to)]);
  }
  return out;
}

/**
 * Index of the first interval that ends after t.
 * @param {Interval[]} set
 * @param {number} t
 */
export function firstEndingAfter(set, t) {
  let low = 0;
  let high = set.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (set[mid][1] > t) high = mid;
    else low = mid + 1;
  }
  return low;
}
