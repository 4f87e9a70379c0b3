// @ts-check
// Above the leg: cues and halts, whiskers as long as the latency, answers, and
// the handler's own movements.
import * as glyph from "./glyphs.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

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
  /** @type {{x: number}[]} */
  const lapsed = [];
  let last = -Infinity;
  derived.whiskers.each(pen.from, pen.to, (w) => {
    const [x, x1] = [scale.near(w.start), scale.near(w.end)];
    if (x1 - last < 1) return;
    last = x1;
    ctx.fillStyle = w.answered ? ink.ink : ink.muted;
    if (w.answered) ctx.fillRect(x, y - 0.6 * s, x1 - x, 1.2 * s);
    else for (let at = x; at < x1; at += 6 * s) ctx.fillRect(at, y - 0.6 * s, Math.min(3 * s, x1 - at), 1.2 * s);
    if (w.lapsed) lapsed.push({ x: x1 });
  });
  pen.stamp(lapsed, rows.cue, "none", 5, (c) => glyph.hollow(c, ink.correction, ink.paper, 1.8 * s, () => glyph.circle(c, 0, 0, 4 * s)));
  ctx.globalAlpha = 1;
}

const isRelease = (/** @type {Item} */ i) => i.role === "release" || i.command === "release";

/** @param {Pen} pen */
export function paintCues(pen) {
  const { ctx, rows, ink, s } = pen;
  const ticks = (/** @type {{x: number}[]} */ list, /** @type {number} */ half, /** @type {string} */ colour) => {
    ctx.fillStyle = colour;
    for (const { x } of list) pen.upright(x, rows.cue - half * s, rows.cue + half * s, 2 * s);
  };
  for (const [look, list] of pen.groups("cues", (i) => (isRelease(i) ? "release" : i.command === "name" ? "name" : "cue"))) {
    if (look === "release") pen.stamp(list, rows.cue, "release", 7, (c) => glyph.drawn(c, ink.ink, 1.4 * s, () => glyph.freed(c, 0, 0, 5 * s)));
    else if (look === "name") ticks(list, 3.5, ink.soft);
    else ticks(list, 6.5, ink.ink);
    const words = look === "cue" ? { order: 5, font: ink.name, colour: ink.ink } : { order: 25, font: ink.italic, colour: ink.soft };
    for (const mark of list) if (pen.roomy(mark, true)) pen.offer(words, named(pen, mark));
  }
  const halts = pen.groups("moves", (i) => (i.role === "halt" && i.command ? "halt" : "")).get("halt") ?? [];
  ticks(halts, 6.5, ink.soft);
  for (const mark of halts) {
    if (pen.roomy(mark, true)) pen.offer({ order: 6, font: ink.italic, colour: ink.soft }, named(pen, mark));
  }
  paintAnswers(pen);
}

/** The name over its tick, to the right or, at the end of the plot, to the left.
 * @param {Pen} pen @param {import("./pen.js").Mark} mark @returns {{text: string, x: number, y: number, align?: "right"}[]} */
const named = ({ rows, s }, { item, x }) => [{ text: item.name, x: x - s, y: rows.cueLabel }, { text: item.name, x: x + s, y: rows.cueLabel, align: "right" }];

/** Did: full circle. No answer: ring. Something else: diamond. Heard: ear. @param {Pen} pen */
function paintAnswers(pen) {
  const { rows, ink, s } = pen;
  for (const [look, list] of pen.groups("answers", (i) => (i.role === "heard" ? "heard" : i.result === "did" || i.result === "none" ? i.result : "other"))) {
    pen.stamp(list, rows.cue, look, 5, (c) => {
      if (look === "heard") glyph.drawn(c, ink.soft, 1.6 * s, () => glyph.ear(c, 0, 0, 4.5 * s));
      else if (look === "did") glyph.filled(c, ink.accent, () => glyph.circle(c, 0, 0, 4 * s));
      else if (look === "none") glyph.hollow(c, ink.correction, ink.paper, 1.8 * s, () => glyph.circle(c, 0, 0, 4 * s));
      else glyph.filled(c, ink.soft, () => glyph.diamond(c, 0, 0, 5 * s));
    });
  }
}

/** Turns, changes of pace, halts. @param {Pen} pen */
export function paintMoves(pen) {
  const { rows, ink, s } = pen;
  for (const [look, list] of pen.groups("moves", (i) => i.look)) {
    const { role, kind } = list[0].item;
    pen.stamp(list, rows.moves, look, 6, (c) => {
      if (role === "halt") glyph.filled(c, ink.muted, () => glyph.square(c, 0, 0, 4 * s));
      else glyph.drawn(c, ink.soft, 1.4 * s, () => (role === "turn" ? glyph.turn : glyph.pace)(c, 0, 0, 5 * s, kind));
    });
    for (const { x } of list) pen.grid.mark(x - 7 * s, rows.moves - 6 * s, x + 7 * s, rows.moves + 6 * s);
  }
}
