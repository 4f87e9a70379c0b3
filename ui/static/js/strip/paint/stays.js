// @ts-check
// Stays as bars with a notch for each break, and the other exercises.
import { secondsLabel } from "../../shared/time.js";
import { trackName } from "../scene.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

/** @param {Pen} pen */
export function paintStays(pen) {
  for (const { item, x, x1 } of pen.groups("stays", () => "").get("") ?? []) {
    stayBar(pen, item, x, Math.max(x1, x + 1), true);
    labelStay(pen, item, x, x1, secondsLabel(item.end - item.start) + " s");
  }
  for (const item of pen.scene.open) {
    if (trackName(item) === "stays") labelStay(pen, item, pen.scale.near(item.start), pen.scale.right, "");
  }
}

/** @param {Pen} pen @param {Item} item @param {number} x0 @param {number} x1 @param {string} length */
function labelStay(pen, item, x0, x1, length) {
  const { rows, ink, s } = pen;
  const a = Math.max(x0, pen.scale.left);
  const b = Math.min(x1, pen.scale.right);
  const y = rows.leg + 4.5 * s;
  const name = item.posture || item.name;
  const w = pen.width(ink.name, name);
  if (b - a < w + 10 * s) return;
  pen.offer({ order: 20, font: ink.name, colour: ink.ink }, [{ text: name, x: a + 7 * s, y }]);
  if (length && b - a > w + pen.width(ink.label, length) + 30 * s) {
    pen.offer({ order: 40, colour: ink.soft }, [{ text: length, x: b - 7 * s, y, align: "right" }]);
  }
}

/**
 * The bar of a stay with a notch for each break that starts in it.
 * @param {Pen} pen @param {Item} item @param {number} x0 @param {number} x1
 * @param {boolean} closed whether its right end is drawn
 */
export function stayBar(pen, item, x0, x1, closed) {
  const { ctx, rows, scale, ink, s } = pen;
  const top = pen.sharp(rows.leg - rows.half);
  const bottom = pen.sharp(rows.leg + rows.half);
  const deep = pen.sharp(rows.leg + rows.half * 0.45);
  const path = new Path2D();
  path.moveTo(x0, bottom);
  path.lineTo(x0, top);
  let x = x0;
  const notch = (/** @type {number} */ from, /** @type {number} */ to) => {
    const moment = from === to;
    const a = Math.max(scale.near(from) - (moment ? 4 * s : 0), x);
    const b = Math.min(scale.near(to) + (moment ? 4 * s : 0), x1);
    if (b <= a) return;
    path.lineTo(a, top);
    if (moment) path.lineTo((a + b) / 2, deep);
    else {
      path.lineTo(a, deep);
      path.lineTo(b, deep);
    }
    path.lineTo(b, top);
    x = b;
    pen.grid.mark(a, rows.leg - rows.half, b, rows.leg + rows.half * 0.45);
  };
  pen.scene.tracks.breaks.each(Math.max(item.start, pen.from), Math.min(item.end, pen.to), (b) => {
    if (b.start >= item.start && b.start < item.end) notch(b.start, Math.min(b.end, item.end));
  });
  for (const b of pen.scene.open) if (b.role === "break" && b.start >= item.start && b.start < item.end) notch(b.start, item.open ? Math.max(pen.now, b.start + (14 * s) / scale.perUs) : item.end);
  path.lineTo(x1, top);
  const fill = new Path2D(path);
  fill.lineTo(x1, bottom);
  if (closed) path.lineTo(x1, bottom);
  else path.moveTo(x1, bottom);
  path.lineTo(x0, bottom);

  ctx.fillStyle = ink.stay;
  ctx.fill(fill);
  ctx.strokeStyle = ink.stayLine;
  ctx.lineWidth = 1.25 * s;
  ctx.lineJoin = "miter";
  ctx.stroke(path);
}

/** Breaks outside any stay are outlined only; all are named. @param {Pen} pen */
export function paintBreaks(pen) {
  const { ctx, rows, scale, ink, s } = pen;
  for (const { item, x, x1 } of pen.groups("breaks", () => "").get("") ?? []) {
    let inStay = false;
    pen.scene.tracks.stays.each(item.start, item.start, (i) => {
      if (item.start < i.end) inStay = true;
    });
    for (const i of pen.scene.open) if (trackName(i) === "stays" && i.start <= item.start) inStay = true;
    if (!inStay) {
      ctx.strokeStyle = ink.faint;
      ctx.lineWidth = 1;
      ctx.setLineDash([3 * s, 3 * s]);
      ctx.strokeRect(pen.sharp(x) - 4, rows.leg - rows.half, Math.max(x1 - x, 0) + 8, rows.half * 1.45);
      ctx.setLineDash([]);
    }
    const word = item.kind || item.name;
    const length = item.end > item.start ? secondsLabel(item.end - item.start) + " s" : "";
    pen.offerCentred({ order: 10, colour: ink.correction }, [`${word} ${length}`.trim(), length], x, x1, rows.above);
  }
  for (const item of pen.scene.open) {
    if (item.role === "break") pen.offer({ order: 10, colour: ink.correction }, [{ text: item.kind || item.name, x: scale.near(item.start), y: rows.above }]);
  }
}

/** Recall as an arrow to the leg, free time dotted, anything else a thin line. @param {Pen} pen */
export function paintOthers(pen) {
  for (const { item, x, x1 } of pen.groups("others", () => "").get("") ?? []) {
    otherLine(pen, item, x, x1, true);
    labelOther(pen, item, x, x1);
  }
  for (const item of pen.scene.open) {
    if (trackName(item) === "others") labelOther(pen, item, pen.scale.near(item.start), pen.scale.right);
  }
}

/** @param {Pen} pen @param {Item} item @param {number} x0 @param {number} x1 */
function labelOther(pen, item, x0, x1) {
  const { rows, ink, s } = pen;
  const a = Math.max(x0, pen.scale.left);
  const text = pen.fit(ink.italic, item.name, Math.min(x1, pen.scale.right) - a - 8 * s);
  pen.offer({ order: 45, font: ink.italic, colour: ink.muted }, [{ text, x: a + 5 * s, y: rows.leg - 5 * s }]);
}

/** @param {Pen} pen @param {Item} item @param {number} x0 @param {number} x1 @param {boolean} closed */
export function otherLine(pen, item, x0, x1, closed) {
  const { ctx, rows, ink, s } = pen;
  const y = pen.sharp(rows.leg);
  ctx.strokeStyle = ink.soft;
  ctx.lineWidth = 1.25 * s;
  ctx.setLineDash(item.kind === "free" ? [1.5 * s, 4 * s] : []);
  ctx.beginPath();
  ctx.moveTo(x0, y);
  ctx.lineTo(x1, y);
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.beginPath();
  ctx.moveTo(pen.sharp(x0), y - 4 * s);
  ctx.lineTo(pen.sharp(x0), y + 4 * s);
  if (closed && item.kind === "recall") {
    ctx.moveTo(x1 - 6 * s, y - 4 * s);
    ctx.lineTo(x1, y);
    ctx.lineTo(x1 - 6 * s, y + 4 * s);
  } else if (closed) {
    ctx.moveTo(pen.sharp(x1), y - 4 * s);
    ctx.lineTo(pen.sharp(x1), y + 4 * s);
  }
  ctx.stroke();
}
