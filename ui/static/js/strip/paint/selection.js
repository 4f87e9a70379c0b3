// @ts-check
// What is selected: a ground and a frame round it, and grips at the edges that
// can be dragged.
import { boxesOf } from "../boxes.js";

/** @typedef {import("./pen.js").Pen} Pen */

/** @param {Pen} pen @param {(box: import("../types.js").Box, item: import("../types.js").Item) => void} fn */
function eachBox(pen, fn) {
  for (const id of pen.selection) {
    const item = pen.scene.byId.get(id);
    if (!item) continue;
    for (const b of boxesOf(item, pen.rows, pen.scale, pen.now)) {
      if (b.x1 >= pen.scale.left - 8 && b.x0 <= pen.scale.right + 8) fn(b, item);
    }
  }
}

/** @param {Pen} pen */
export function paintSelectionGround(pen) {
  const { ctx, ink, s } = pen;
  ctx.fillStyle = ink.selection;
  eachBox(pen, (b) => ctx.fillRect(b.x0 - 3 * s, b.y0 - 3 * s, b.x1 - b.x0 + 6 * s, b.y1 - b.y0 + 6 * s));
}

/** @param {Pen} pen */
export function paintSelectionFrame(pen) {
  const { ctx, ink, s } = pen;
  eachBox(pen, (b, item) => {
    const [y0, y1] = [pen.sharp(b.y0 - 3 * s), pen.sharp(b.y1 + 3 * s)];
    const moment = item.end === item.start;
    ctx.strokeStyle = ink.accent;
    ctx.lineWidth = 1.25 * s;
    ctx.beginPath();
    if (moment) ctx.rect(pen.sharp(b.x0 - 3 * s), y0, b.x1 - b.x0 + 6 * s, y1 - y0);
    else {
      for (const y of [y0, y1]) {
        ctx.moveTo(b.x0, y);
        ctx.lineTo(b.x1, y);
      }
    }
    ctx.stroke();
    if (moment) return;
    for (const [t, known] of /** @type {[number, boolean][]} */ ([[item.start, true], [item.end, !item.open]])) {
      if (!known || t < pen.scale.from - 1 || t > pen.scale.to + 1) continue;
      const x = pen.scale.x(t);
      ctx.fillStyle = ink.accent;
      ctx.fillRect(x - 1.5 * s, y0 - 1 * s, 3 * s, y1 - y0 + 2 * s);
      ctx.fillRect(x - 3.5 * s, (y0 + y1) / 2 - 4 * s, 7 * s, 8 * s);
      ctx.fillStyle = ink.paper;
      ctx.fillRect(x - 1 * s, (y0 + y1) / 2 - 2 * s, 2 * s, 4 * s);
    }
  });
}
