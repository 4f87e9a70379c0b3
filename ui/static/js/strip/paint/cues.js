// @ts-check
// Above the leg: cues and halts, whiskers as long as the latency, answers, and
// the handler's own movements.
import * as glyph from "./glyphs.js";

/** @typedef {import("./pen.js").Pen} Pen */

/**
 * Whiskers from the cue to the answer, dimmed while they belong to an older
 * state; broken lines where no answer was coded.
 * @param {Pen} pen
 * @param {import("../derived.js").Derived} derived
 * @param {boolean} stale
 */
export function paintWhiskers(pen, derived, stale) {
  const { ctx, rows, scale, ink, s } = pen;
  const y = pen.sharp(rows.cue);
  ctx.globalAlpha = stale ? 0.4 : 1;
  for (const answered of [true, false]) {
    ctx.strokeStyle = answered ? ink.ink : ink.muted;
    ctx.lineWidth = 1.25 * s;
    ctx.setLineDash(answered ? [] : [3 * s, 3 * s]);
    ctx.beginPath();
    let last = -Infinity;
    derived.whiskers.each(pen.from, pen.to, (w) => {
      if (w.answered !== answered) return;
      const x = scale.near(w.start);
      const x1 = scale.near(w.end);
      if (x1 - last < 1) return;
      last = x1;
      ctx.moveTo(x, y);
      ctx.lineTo(x1, y);
    });
    ctx.stroke();
  }
  ctx.setLineDash([]);
  derived.whiskers.each(pen.from, pen.to, (w) => {
    if (w.lapsed) glyph.ring(ctx, scale.near(w.end), rows.cue, 3.6 * s, ink.correction, ink.paper);
  });
  ctx.globalAlpha = 1;
}

/** @param {Pen} pen */
export function paintCues(pen) {
  const { ctx, rows, ink, s } = pen;
  const tick = (/** @type {number} */ x, /** @type {number} */ half, /** @type {string} */ colour) => {
    ctx.strokeStyle = colour;
    ctx.lineWidth = 2 * s;
    ctx.beginPath();
    ctx.moveTo(x, rows.cue - half * s);
    ctx.lineTo(x, rows.cue + half * s);
    ctx.stroke();
  };
  pen.each("cues", (i) => i.role + i.command, (item, x) => {
    if (item.role === "release" || item.command === "release") {
      glyph.freed(ctx, x, rows.cue, 5 * s, ink.ink);
      pen.grid.mark(x - 2 * s, rows.cue - 6 * s, x + 8 * s, rows.cue + 6 * s);
      pen.offer({ order: 25, font: ink.italic, colour: ink.soft }, [{ text: item.name, x: x - 1 * s, y: rows.cueLabel }]);
      return;
    }
    const quiet = item.command === "name";
    tick(x, quiet ? 3.5 : 6.5, quiet ? ink.soft : ink.ink);
    const look = quiet ? { order: 26, font: ink.italic, colour: ink.soft } : { order: 5, font: ink.name, colour: ink.ink };
    pen.offer(look, [{ text: item.name, x: x - 1 * s, y: rows.cueLabel }]);
  });
  pen.each("moves", (i) => (i.role === "halt" ? i.command : "none"), (item, x) => {
    if (item.role !== "halt" || !item.command) return;
    tick(x, 6.5, ink.soft);
    pen.offer({ order: 6, font: ink.italic, colour: ink.soft }, [{ text: item.name, x: x - 1 * s, y: rows.cueLabel }]);
  });
  pen.each("answers", (i) => i.role + i.result, (item, x) => {
    if (item.role === "heard") glyph.ear(ctx, x, rows.cue, 4.5 * s, ink.soft);
    else if (item.result === "did") glyph.disc(ctx, x, rows.cue, 4 * s, ink.accent);
    else if (item.result === "none") glyph.ring(ctx, x, rows.cue, 4 * s, ink.correction, ink.paper);
    else glyph.diamond(ctx, x, rows.cue, 5 * s, ink.soft);
  });
}

/** Turns, changes of pace, halts. @param {Pen} pen */
export function paintMoves(pen) {
  const { ctx, rows, ink, s } = pen;
  pen.each("moves", (i) => i.role + i.kind, (item, x) => {
    if (item.role === "halt") glyph.square(ctx, x, rows.moves, 4 * s, ink.muted);
    else if (item.role === "turn") glyph.turn(ctx, x, rows.moves, 5 * s, ink.soft, item.kind);
    else glyph.pace(ctx, x, rows.moves, 5 * s, ink.soft, item.kind);
    pen.grid.mark(x - 7 * s, rows.moves - 6 * s, x + 7 * s, rows.moves + 6 * s);
  });
}
