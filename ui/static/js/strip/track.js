// @ts-check
// A list of things ordered by start, from which those in view are found by
// binary search.

/** @template {{start: number, end: number}} T */
export class Track {
  /** @param {T[]} items in any order; the list itself is kept and sorted */
  constructor(items) {
    let sorted = true;
    for (let i = 1; i < items.length && sorted; i++) sorted = items[i - 1].start <= items[i].start;
    if (!sorted) items.sort((a, b) => a.start - b.start);
    this.items = items;
    // reach[i] is the latest end among items 0 to i, so it never falls.
    this.reach = new Float64Array(items.length);
    let latest = -Infinity;
    for (let i = 0; i < items.length; i++) {
      latest = Math.max(latest, items[i].end);
      this.reach[i] = latest;
    }
  }

  /**
   * First and one-past-last index of what may lie in [from, to], ends included;
   * a long item may bring some that end before `from`.
   * @param {number} from
   * @param {number} to
   * @returns {[number, number]}
   */
  range(from, to) {
    let low = 0;
    let high = this.items.length;
    while (low < high) {
      const mid = (low + high) >> 1;
      if (this.reach[mid] >= from) high = mid;
      else low = mid + 1;
    }
    const first = low;
    high = this.items.length;
    while (low < high) {
      const mid = (low + high) >> 1;
      if (this.items[mid].start > to) high = mid;
      else low = mid + 1;
    }
    return [first, low];
  }

  /**
   * Calls fn for each item that meets [from, to], ends included, in order of start.
   * @param {number} from
   * @param {number} to
   * @param {(item: T) => void} fn
   */
  each(from, to, fn) {
    const [a, b] = this.range(from, to);
    for (let i = a; i < b; i++) if (this.items[i].end >= from) fn(this.items[i]);
  }
}
