// @ts-check
// The frame table of a clip. `frames` holds the start of each frame in µs,
// ascending, and the end of the last frame as one more entry; frame k is on the
// screen in [frames[k], frames[k+1]). Frames count from 0. Null stands for a
// table that is not there yet.

/** @typedef {Float64Array | number[]} Frames */

/**
 * How many frames; 0 without a table.
 * @param {Frames | null} frames
 */
export function count(frames) {
  return frames && frames.length > 1 ? frames.length - 1 : 0;
}

/**
 * The frame whose interval holds us; the first or last one outside the clip, -1
 * without a table.
 * @param {Frames | null} frames
 * @param {number} us
 */
export function frameAt(frames, us) {
  const n = count(frames);
  if (!frames || n === 0) return -1;
  let low = 0;
  let high = n; // the last start at or before us lies in [low, high)
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (frames[mid] <= us) low = mid;
    else high = mid;
  }
  return low;
}

/**
 * The frame whose start is nearest to a mediaTime; of two the earlier; -1 without
 * a table.
 * @param {Frames | null} frames
 * @param {number} mediaTimeUs
 */
export function nearestFrame(frames, mediaTimeUs) {
  const k = frameAt(frames, mediaTimeUs);
  if (!frames || k < 0 || k + 1 >= count(frames)) return k;
  return frames[k + 1] - mediaTimeUs < mediaTimeUs - frames[k] ? k + 1 : k;
}

/**
 * Where to seek for frame k: the middle of its interval. The end of the last
 * frame may be missing or wrong in a file, so there it is its start and half the
 * duration of the frame before, at most 10 ms.
 * @param {Frames} frames
 * @param {number} k 0 to count - 1
 */
export function midpoint(frames, k) {
  const last = count(frames) - 1;
  if (k < last) return (frames[k] + frames[k + 1]) / 2;
  const before = last > 0 ? frames[last] - frames[last - 1] : frames[1] - frames[0];
  return frames[last] + Math.min(before / 2, 10e3);
}

/**
 * The frame start, or end of the clip, nearest to us, as whole µs; of two the
 * earlier. Without a table us itself, rounded.
 * @param {Frames | null} frames
 * @param {number} us
 */
export function snap(frames, us) {
  const k = frameAt(frames, us);
  if (!frames || k < 0) return Math.round(us);
  return Math.round(frames[k + 1] - us < us - frames[k] ? frames[k + 1] : frames[k]);
}
