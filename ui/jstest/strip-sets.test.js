// @ts-check
// Sets of time and tracks; values worked by hand.
import { test, equal } from "./assert.js";
import { union, intersect, subtract, cut, firstEndingAfter } from "/assets/js/strip/intervals.js";
import { Track } from "/assets/js/strip/track.js";

/** @typedef {import("/assets/js/strip/types.js").Interval} Interval */

test("union merges what touches and drops what is empty", () => {
  const given = /** @type {Interval[]} */ ([[5, 7], [1, 2], [2, 3], [6, 6.5], [9, 9]]);
  equal(union(given), [[1, 3], [5, 7]]);
  equal(given[0], [5, 7], "the list given");
  equal(union([]), []);
});

test("intersect and subtract", () => {
  const a = /** @type {Interval[]} */ ([[0, 10], [20, 30]]);
  const b = /** @type {Interval[]} */ ([[2, 3], [8, 22], [25, 26], [30, 40]]);
  equal(intersect(a, b), [[2, 3], [8, 10], [20, 22], [25, 26]]);
  equal(subtract(a, b), [[0, 2], [3, 8], [22, 25], [26, 30]]);
  equal(subtract(a, []), a, "minus nothing");
  equal(subtract([], b), [], "nothing minus");
  equal(subtract([[0, 5]], [[0, 5]]), [], "minus itself");
  equal(subtract([[0, 100]], [[1, 2], [1000, 1001]]), [[0, 1], [2, 100]], "a far hole");
});

test("what is taken away and what is kept make up the whole", () => {
  let seed = 7;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const some = () => union(Array.from({ length: 12 }, () => {
    const a = Math.floor(random() * 100);
    return /** @type {Interval} */ ([a, a + Math.floor(random() * 15)]);
  }));
  for (let i = 0; i < 200; i++) {
    const [a, b] = [some(), some()];
    equal(union([...intersect(a, b), ...subtract(a, b)]), a, `round ${i}`);
    equal(intersect(subtract(a, b), b), [], `round ${i}, left over`);
  }
});

test("the part in view", () => {
  const set = /** @type {Interval[]} */ ([[0, 2], [4, 6], [8, 10]]);
  equal(cut(set, 1, 9), [[1, 2], [4, 6], [8, 9]]);
  equal(cut(set, 2, 4), [], "between");
  equal([-1, 0, 1.9, 2, 6, 10].map((t) => firstEndingAfter(set, t)), [0, 0, 0, 1, 2, 3]);
});

test("a track finds what meets a range, ends included", () => {
  const track = new Track([[5, 5], [0, 100], [10, 12], [12, 12], [20, 25]].map(([start, end]) => ({ start, end })));
  const found = (/** @type {number} */ a, /** @type {number} */ b) => {
    /** @type {number[]} */
    const starts = [];
    track.each(a, b, (i) => starts.push(i.start));
    return starts;
  };
  equal(found(12, 20), [0, 10, 12, 20]);
  equal(found(5, 5), [0, 5]);
  equal(found(101, 200), [], "after all");
  equal(found(-5, -1), [], "before all");
  equal(new Track(/** @type {{start: number, end: number}[]} */ ([])).range(0, 1), [0, 0], "empty");
});
