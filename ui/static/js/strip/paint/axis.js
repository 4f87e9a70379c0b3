// @ts-check
// The time axis with its ticks and frames, and the overview bar.
import { ticks, timeLabel } from "../../shared/time.js";
import { frameAt, count } from "../../shared/frames.js";
import { isWhole } from "../view.js";

/** @typedef {import("./pen.js").Pen} Pen */

/** @param {Pen} pen @param {import("../../shared/frames.js").Frames | null} frames */
export function paintAxis(pen, frames) {
  const { ctx, rows, scale, ink, s } = pen;
  const t = ticks(scale.from, scale.to, scale.right - scale.left, 72 * s);
  ctx.strokeStyle = ink.muted;
  ctx.lineWidth = 1;
  ctx.beginPath();
  for (const [list, length] of /** @type {[number[], number][]} */ ([[t.major, 6], [t.minor, 3]])) {
    for (const us of list) {
      const x = pen.sharp(scale.x(us));
      ctx.moveTo(x, rows.ticks);
      ctx.lineTo(x, rows.ticks + length * s);
    }
  }
  ctx.stroke();
  paintFrames(pen, frames);
  ctx.font = ink.label;
  ctx.fillStyle = ink.muted;
  ctx.textBaseline = "alphabetic";
  ctx.textAlign = "left";
  for (const us of t.major) {
    const text = timeLabel(us, t.digits);
    const w = pen.width(ink.label, text);
    const x = scale.x(us) - w / 2;
    if (x >= 0 && x + w <= rows.width) ctx.fillText(text, x, rows.axis);
  }
}

/** Frames as a fine comb under the ticks, where they are far enough apart.
 * @param {Pen} pen @param {import("../../shared/frames.js").Frames | null} frames */
function paintFrames(pen, frames) {
  const { ctx, rows, scale, ink, s } = pen;
  const n = count(frames);
  if (!frames || n === 0) return;
  const average = (frames[n] - frames[0]) / n;
  if (average * scale.perUs < 6 * s) return;
  ctx.strokeStyle = ink.strong;
  ctx.beginPath();
  for (let k = frameAt(frames, scale.from); k <= n && frames[k] <= scale.to; k++) {
    if (frames[k] < scale.from) continue;
    const x = pen.sharp(scale.x(frames[k]));
    ctx.moveTo(x, rows.ticks + 6 * s);
    ctx.lineTo(x, rows.ticks + 8 * s);
  }
  ctx.stroke();
}

/** A slim line over the strip that shows where the view lies; only when zoomed in.
 * @param {Pen} pen */
export function paintOverview(pen) {
  const { ctx, rows, scale, clip, ink, s } = pen;
  if (isWhole({ from: scale.from, to: scale.to }, clip)) return;
  const [x0, x1] = overviewThumb(pen);
  ctx.strokeStyle = ink.line;
  ctx.lineWidth = 2 * s;
  ctx.beginPath();
  ctx.moveTo(rows.left, rows.overview);
  ctx.lineTo(rows.right, rows.overview);
  ctx.stroke();
  ctx.strokeStyle = ink.soft;
  ctx.lineWidth = 4 * s;
  ctx.beginPath();
  ctx.moveTo(x0, rows.overview);
  ctx.lineTo(x1, rows.overview);
  ctx.stroke();
}

/** @param {{scale: import("../view.js").Scale, rows: import("../rows.js").Rows, clip: import("../types.js").View}} on */
export function overviewThumb({ scale, rows, clip }) {
  const per = (rows.right - rows.left) / Math.max(clip.to - clip.from, 1);
  const x0 = rows.left + (scale.from - clip.from) * per;
  const x1 = rows.left + (scale.to - clip.from) * per;
  return x1 - x0 >= 6 ? [x0, x1] : [Math.min(x0, rows.right - 6), Math.min(x0, rows.right - 6) + 6];
}
