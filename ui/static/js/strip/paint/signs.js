// @ts-check
// The rows at the bottom: stress signs, ease and remarks; line and handler.
import * as glyph from "./glyphs.js";
import { trackName } from "../scene.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

/** @param {Pen} pen */
export function paintSigns(pen) {
  if (!pen.rows.signs) return;
  const draw = (/** @type {Item} */ item, /** @type {number} */ x1) => {
    signShape(pen, item, x1);
    labelSign(pen, item, x1);
  };
  pen.each("signs", (i) => i.role, (item) => draw(item, pen.scale.near(item.end)));
  for (const item of pen.scene.open) if (trackName(item) === "signs") draw(item, pen.scale.near(item.start));
}

/** @param {Pen} pen @param {Item} item @param {number} x1 the end of a span */
export function signShape(pen, item, x1) {
  const { ctx, rows, scale, ink, s } = pen;
  const x = scale.near(item.start);
  const y = rows.signs;
  const long = x1 > x + 12 * s;
  if (item.role === "stress") glyph.zigzag(ctx, long ? x : x - 6 * s, long ? x1 : x + 6 * s, y, 5 * s, ink.correction);
  else if (item.role === "offered") glyph.smile(ctx, x, y, 5 * s, ink.accent);
  else glyph.flag(ctx, x, y, 5 * s, ink.soft);
  if (item.role === "remark" && x1 > x) {
    ctx.strokeStyle = ink.soft;
    ctx.lineWidth = 1;
    ctx.beginPath();
    ctx.moveTo(x, pen.sharp(y + 6.5 * s));
    ctx.lineTo(x1, pen.sharp(y + 6.5 * s));
    ctx.stroke();
  }
}

/** @param {Pen} pen @param {Item} item @param {number} x1 */
function labelSign(pen, item, x1) {
  const { rows, scale, ink, s } = pen;
  const x = scale.near(item.start);
  const y = rows.signs;
  const stress = item.role === "stress";
  const after = stress && x1 > x + 12 * s ? x1 : x;
  pen.grid.mark(x - 6 * s, y - 5 * s, after + 6 * s, y + 5 * s);
  const text = item.role === "remark" ? item.note || item.name : item.kind || item.name;
  const colour = stress ? ink.correction : item.role === "offered" ? ink.accent : ink.soft;
  const most = Math.min(scale.right - after - 9 * s, 260 * s);
  pen.offer({ order: stress ? 14 : 47, font: ink.italic, colour },
    [
      { text: pen.fit(ink.italic, text, most) === text ? text : "", x: after + 9 * s, y: y + 4 * s },
      { text: pen.fit(ink.italic, text, 260 * s), x: x - 9 * s, y: y + 4 * s, align: "right" },
      ...[1, 0.6, 0.35].map((part) => ({ text: pen.fit(ink.italic, text, most * part), x: after + 9 * s, y: y + 4 * s })),
    ]);
}

/** Line and handler: the words, and after them a rule to the end of the span. @param {Pen} pen */
export function paintContext(pen) {
  pen.each("context", (i) => i.lane, (item) => {
    const x1 = pen.scale.near(item.end);
    contextRule(pen, item, x1, true);
    contextWords(pen, item, x1);
  });
  for (const item of pen.scene.open) if (trackName(item) === "context") contextWords(pen, item, pen.scale.right);
}

/** @param {Pen} pen @param {Item} item @param {number} x1 @param {boolean} closed */
export function contextRule(pen, item, x1, closed) {
  const { ctx, rows, scale, ink, s } = pen;
  const y = rows.context.find((c) => c.lane === item.lane)?.y;
  if (y === undefined) return;
  const x0 = scale.near(item.start);
  const text = wording(pen, item, closed ? x1 : scale.right);
  ctx.strokeStyle = ink.muted;
  ctx.lineWidth = 1;
  ctx.beginPath();
  ctx.moveTo(pen.sharp(x0), y - 4 * s);
  ctx.lineTo(pen.sharp(x0), y + 4 * s);
  const from = text ? wordsAt(pen, item) + pen.width(ink.italic, text) + 5 * s : x0;
  if (x1 > from) {
    ctx.moveTo(from, pen.sharp(y));
    ctx.lineTo(x1, pen.sharp(y));
  }
  if (closed) {
    ctx.moveTo(pen.sharp(x1), y - 4 * s);
    ctx.lineTo(pen.sharp(x1), y + 4 * s);
  }
  ctx.stroke();
}

/** The words stand in their own rule, nothing else is near. @param {Pen} pen @param {Item} item @param {number} x1 */
function contextWords(pen, item, x1) {
  const { ctx, rows, ink, s } = pen;
  const y = rows.context.find((c) => c.lane === item.lane)?.y;
  const text = wording(pen, item, x1);
  if (y === undefined || !text) return;
  ctx.font = ink.italic;
  ctx.fillStyle = ink.muted;
  ctx.fillText(text, wordsAt(pen, item), y + 4 * s);
}

/** @param {Pen} pen @param {Item} item */
const wordsAt = (pen, item) => Math.max(pen.scale.near(item.start), pen.scale.left) + 5 * pen.s;

/** The name of the code as far as it fits before x1. @param {Pen} pen @param {Item} item @param {number} x1 */
function wording(pen, item, x1) {
  return pen.fit(pen.ink.italic, item.name, Math.min(x1, pen.scale.right) - wordsAt(pen, item) - 6 * pen.s);
}
