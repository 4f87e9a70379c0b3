// @ts-check
// The paper of the strip: hatching of distractions, guide lines, and blank paper
// where the dog can't be seen.

import { cut } from "../intervals.js";

/** @typedef {import("./pen.js").Pen} Pen */

/**
 * Hatching over [x0, x1] from the top of the strip to its bottom. The lines hang
 * on the time, so that they move with it.
 * @param {Pen} pen @param {number} x0 @param {number} x1
 */
export function hatch(pen, x0, x1) {
  const { ctx, rows, scale, ink, s } = pen;
  const period = 7 * s;
  const height = rows.bottom - rows.top;
  const origin = scale.x(0) % period;
  ctx.save();
  ctx.beginPath();
  ctx.rect(x0, rows.top, x1 - x0, height);
  ctx.clip();
  ctx.strokeStyle = ink.hatch;
  ctx.lineWidth = 1;
  ctx.beginPath();
  for (let x = origin + Math.floor((x0 - origin) / period) * period; x < x1 + height; x += period) {
    ctx.moveTo(x, rows.top);
    ctx.lineTo(x - height, rows.bottom);
  }
  for (const x of [x0, x1]) {
    ctx.moveTo(pen.sharp(x), rows.top);
    ctx.lineTo(pen.sharp(x), rows.bottom);
  }
  ctx.stroke();
  ctx.restore();
}

/** Hatching of distractions whose end is known. @param {Pen} pen */
export function paintHatching(pen) {
  /** @type {{x0: number, x1: number}[]} */
  const runs = [];
  for (const { x, x1 } of pen.groups("distractions", () => "").get("") ?? []) {
    const run = runs[runs.length - 1];
    if (run && x <= run.x1 + 0.5) run.x1 = Math.max(run.x1, x1);
    else runs.push({ x0: x, x1: Math.max(x1, x + 1) });
  }
  for (const { x0, x1 } of runs) hatch(pen, x0, x1);
}

/** @param {Pen} pen */
export function labelDistractions(pen) {
  const { scale } = pen;
  for (const { item, x, x1 } of pen.groups("distractions", () => "").get("") ?? []) labelDistraction(pen, item, x, x1);
  for (const item of pen.scene.open) if (item.role === "distraction") labelDistraction(pen, item, scale.near(item.start), scale.right);
}

/** @param {Pen} pen @param {import("../types.js").Item} item @param {number} x0 @param {number} x1 */
function labelDistraction(pen, item, x0, x1) {
  const { rows, ink, s } = pen;
  const what = item.note || item.kind || item.name;
  const far = Number.isNaN(item.distance) ? "" : `, ${item.distance} m`;
  const x = Math.max(x0 + 4 * s, pen.scale.left);
  const room = Math.max(x1 - x, 90 * s);
  const look = { order: 30, font: ink.italic, colour: ink.muted };
  pen.offer(look, [what + far, pen.fit(ink.italic, what, room)].map((text) => ({ text, x, y: rows.behindLabel })));
}

/** Guides: the leg's line, the ground of pressure, the rungs, the line between help and correction.
 * @param {Pen} pen @param {number} helpRank */
export function paintGuides(pen, helpRank) {
  const { ctx, rows, scale, ink, s } = pen;
  const line = (/** @type {number} */ y, /** @type {string} */ colour, /** @type {number[]} */ dash) => {
    ctx.setLineDash(dash);
    ctx.strokeStyle = colour;
    ctx.beginPath();
    ctx.moveTo(scale.left, pen.sharp(y));
    ctx.lineTo(scale.right, pen.sharp(y));
    ctx.stroke();
  };
  ctx.lineWidth = 1;
  line(rows.leg, ink.guide, []);
  for (let r = 1; r < rows.rungs.length; r++) line(rows.rungs[r], ink.guide, [s, 5 * s]);
  if (helpRank > 0 && helpRank < rows.rungs.length - 1) {
    line((rows.rungs[helpRank] + rows.rungs[helpRank + 1]) / 2, ink.faint, [6 * s, 4 * s]);
  }
  line(rows.ground, ink.strong, []);
  ctx.setLineDash([]);
}

/** Blank paper over time in which the dog can't be seen. @param {Pen} pen */
export function blankHidden({ ctx, rows, scale, scene }) {
  for (const [a, b] of cut(scene.hidden, scale.from, scale.to)) {
    ctx.clearRect(scale.x(a), rows.top, Math.max(scale.x(b) - scale.x(a), 1), rows.bottom - rows.top);
  }
}

/** The edges of blank paper and what it means; what is only heard is drawn on it later. @param {Pen} pen */
export function paintHidden(pen) {
  const { ctx, rows, scale, ink, s } = pen;
  ctx.strokeStyle = ink.faint;
  ctx.lineWidth = 1;
  ctx.setLineDash([2 * s, 3 * s]);
  ctx.beginPath();
  for (const [a, b] of cut(pen.scene.hidden, pen.from, pen.to)) {
    const [x0, x1] = [scale.near(a), scale.near(b)];
    for (const x of [x0, x1]) {
      if (x < scale.left || x > scale.right) continue;
      ctx.moveTo(pen.sharp(x), rows.top);
      ctx.lineTo(pen.sharp(x), rows.bottom);
    }
    const texts = ["dog not in sight", "not in sight", "hidden"].filter((t) => pen.width(ink.italic, t) < x1 - x0 - 8 * s);
    pen.offerCentred({ order: 35, font: ink.italic, colour: ink.muted }, texts, x0, x1, rows.leg + 4 * s);
  }
  ctx.stroke();
  ctx.setLineDash([]);
}
