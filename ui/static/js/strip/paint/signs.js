// @ts-check
// The rows at the bottom: stress signs, ease and remarks; line and handler.
import * as glyph from "./glyphs.js";
import { trackName } from "../scene.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

/** @param {Pen} pen */
export function paintSigns(pen) {
  if (!pen.rows.signs) return;
  const groups = pen.groups("signs", (i) => i.role);
  for (const item of pen.scene.open) {
    if (trackName(item) !== "signs") continue;
    groups.set(item.role, [...(groups.get(item.role) ?? []), pen.openMark(item)]);
  }
  for (const list of groups.values()) {
    signShapes(pen, list);
    for (const mark of list) labelSign(pen, mark);
  }
}

/** Signs of one role; x1 is the end of a span. @param {Pen} pen @param {{item: Item, x: number, x1: number}[]} list */
export function signShapes(pen, list) {
  const { ctx, rows, ink, s } = pen;
  const { role } = list[0].item;
  const y = rows.signs;
  if (role === "stress") {
    const long = list.filter(({ x, x1 }) => x1 > x + 12 * s);
    glyph.drawn(ctx, ink.correction, 1.6 * s, () => long.forEach(({ x, x1 }) => glyph.zigzag(ctx, x, x1, y, 5 * s)));
    pen.stamp(list.filter((m) => !long.includes(m)), y, role, 7, (c) => glyph.drawn(c, ink.correction, 1.6 * s, () => glyph.zigzag(c, -6 * s, 6 * s, 0, 5 * s)));
  } else if (role === "offered") {
    pen.stamp(list, y, role, 6, (c) => glyph.drawn(c, ink.accent, 1.8 * s, () => glyph.smile(c, 0, 0, 5 * s)));
  } else {
    ctx.fillStyle = ink.soft;
    for (const { x, x1 } of list) if (x1 > x) ctx.fillRect(x, y + 6 * s, x1 - x, Math.max(1, s));
    pen.stamp(list, y, "remark", 7, (c) => glyph.drawn(c, ink.soft, 1.2 * s, () => glyph.flag(c, 0, 0, 5 * s)));
  }
}

/** @param {Pen} pen @param {import("./pen.js").Mark} mark */
function labelSign(pen, mark) {
  const { rows, scale, ink, s } = pen;
  const { item, x, x1 } = mark;
  const y = rows.signs;
  const stress = item.role === "stress";
  const after = stress && x1 > x + 12 * s ? x1 : x;
  pen.grid.mark(x - 6 * s, y - 5 * s, after + 6 * s, y + 5 * s);
  if (!pen.roomy(mark, true)) return;
  const text = item.role === "remark" ? item.note || item.name : item.kind || item.name;
  const colour = stress ? ink.correction : item.role === "offered" ? ink.accent : ink.soft;
  const most = Math.min(scale.right - after - 9 * s, 260 * s);
  pen.offer({ order: stress ? 14 : 47, font: ink.italic, colour },
    [
      { text: pen.width(ink.italic, text) <= most ? text : "", x: after + 9 * s, y: y + 4 * s },
      { text: pen.fit(ink.italic, text, 260 * s), x: x - 9 * s, y: y + 4 * s, align: "right" },
      ...[1, 0.6, 0.35].map((part) => ({ text: pen.fit(ink.italic, text, most * part), x: after + 9 * s, y: y + 4 * s })),
    ]);
}

/** Line and handler: the words, and after them a rule to the end of the span. @param {Pen} pen */
export function paintContext(pen) {
  for (const list of pen.groups("context", (i) => i.lane).values()) {
    for (const { item, x1 } of list) {
      contextRule(pen, item, x1, true);
      contextWords(pen, item, x1);
    }
  }
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
