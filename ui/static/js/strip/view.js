// @ts-check
// What part of the clip is shown, and the straight line between its times and
// the pixels of the plot.

/** @typedef {import("./types.js").View} View */

/** The shortest time that can be shown, µs. */
export const CLOSEST = 100e3;

/**
 * A view of the wanted length and start, moved and shortened so that it lies in
 * the clip. An empty clip gives a view of the closest length.
 * @param {View} view
 * @param {View} clip
 * @returns {View}
 */
export function clampView(view, clip) {
  const whole = Math.max(clip.to - clip.from, CLOSEST);
  const length = Math.min(Math.max(view.to - view.from, CLOSEST), whole);
  const from = Math.min(Math.max(view.from, clip.from), clip.from + whole - length);
  return { from, to: from + length };
}

/**
 * `factor` times closer (below 1: farther), the time `at` keeping its place.
 * @param {View} view
 * @param {View} clip
 * @param {number} factor
 * @param {number} at
 */
export function zoomView(view, clip, factor, at) {
  const whole = Math.max(clip.to - clip.from, CLOSEST);
  const old = view.to - view.from;
  const length = Math.min(Math.max(old / factor, CLOSEST), whole);
  const part = old > 0 ? (at - view.from) / old : 0.5;
  return clampView({ from: at - part * length, to: at - part * length + length }, clip);
}

/** @param {View} view @param {View} clip @param {number} us */
export const panView = (view, clip, us) => clampView({ from: view.from + us, to: view.to + us }, clip);

/**
 * Whether the whole clip is in view.
 * @param {View} view
 * @param {View} clip
 */
export const isWhole = (view, clip) => view.to - view.from >= clip.to - clip.from - 1;

/**
 * The view after the playhead went from `before` to `now`: if it ran out of the
 * view it is followed, with a tenth of the view behind it; if it was out of view
 * already, the person looks elsewhere and the view stays.
 * @param {View} view
 * @param {View} clip
 * @param {number} before
 * @param {number} now
 */
export function followView(view, clip, before, now) {
  const inside = (/** @type {number} */ t) => t >= view.from && t <= view.to;
  if (!inside(before) || inside(now)) return view;
  const length = view.to - view.from;
  const from = now > view.to ? now - 0.1 * length : now - 0.9 * length;
  return clampView({ from, to: from + length }, clip);
}

/** The mapping of times to pixels. */
export class Scale {
  /**
   * @param {View} view
   * @param {number} left pixel of view.from
   * @param {number} right pixel of view.to
   */
  constructor(view, left, right) {
    this.from = view.from;
    this.to = view.to;
    this.left = left;
    this.right = right;
    this.perUs = (right - left) / Math.max(view.to - view.from, 1);
  }

  /** @param {number} us @returns {number} pixel; an infinite time gives an infinite one */
  x(us) {
    return this.left + (us - this.from) * this.perUs;
  }

  /** @param {number} x @returns {number} µs */
  us(x) {
    return this.from + (x - this.left) / this.perUs;
  }

  /**
   * The pixel of a time, kept within `beyond` pixels of the plot, so that far
   * away ends do no harm on a canvas.
   * @param {number} us
   * @param {number} [beyond]
   */
  near(us, beyond = 20) {
    return Math.min(Math.max(this.x(us), this.left - beyond), this.right + beyond);
  }
}
