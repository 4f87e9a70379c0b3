// @ts-check
// The dog's line on the handler's leg, and the filled time out of position.
import { errorBand, labelledAbove } from "../rows.js";
import { cut, subtract } from "../intervals.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Interval} Interval */

/** @typedef {{x0: number, x1: number, kind: string, opens: boolean, closes: boolean}} Run a shape in pixels */

/**
 * Pieces in view as runs of pixels: those of one kind that are less than a pixel
 * apart become one, so that thousands on a screen cost no more than its width.
 * @param {Pen} pen
 * @param {import("../track.js").Track<import("../scene.js").Piece>} pieces
 * @param {number} from @param {number} to µs
 * @returns {Run[]} by start
 */
function runsOf(pen, pieces, from, to) {
  const { scale } = pen;
  /** @type {Run[]} */
  const out = [];
  /** @type {Map<string, Run>} */
  const last = new Map();
  pieces.each(from, to, (p) => {
    if (p.end <= from || p.start >= to) return;
    const x0 = scale.near(Math.max(p.start, from));
    const x1 = scale.near(Math.min(p.end, to));
    const before = last.get(p.kind);
    if (before && x0 - before.x1 < 1 && x0 - before.x0 < 1.5) {
      before.x1 = Math.max(before.x1, x1);
      before.closes = p.end <= to;
      return;
    }
    const run = { x0, x1, kind: p.kind, opens: p.start >= from, closes: p.end <= to };
    last.set(p.kind, run);
    out.push(run);
  });
  return out;
}

/** Time out of position: filled within heel work, a broken outline where no heel work runs and it counts for nothing.
 * @param {Pen} pen */
export function paintErrors(pen) {
  const { ctx, rows, ink, scene } = pen;
  ctx.fillStyle = ink.error;
  for (const pieces of [scene.inside.steps, scene.inside.bands]) {
    for (const r of runsOf(pen, pieces, pen.from, pen.to)) {
      const [y0, y1] = errorBand(rows, r.kind);
      ctx.fillRect(r.x0, y0, Math.max(r.x1 - r.x0, 1), y1 - y0);
    }
  }
  ctx.strokeStyle = ink.ink;
  ctx.lineWidth = 1;
  ctx.beginPath();
  for (const r of runsOf(pen, scene.inside.bands, pen.from, pen.to)) outlineBand(pen, r);
  // Steps of heel work that is still open: the dog's line over them is drawn
  // only up to the playhead, their outline always.
  for (const r of runsOf(pen, scene.inside.steps, pen.from, pen.to)) outlineStep(pen, r);
  ctx.stroke();
  ctx.strokeStyle = ink.faint;
  ctx.setLineDash([3 * pen.s, 3 * pen.s]);
  ctx.beginPath();
  for (const pieces of [scene.outside.steps, scene.outside.bands]) {
    for (const r of runsOf(pen, pieces, pen.from, pen.to)) {
      const [y0, y1] = errorBand(rows, r.kind);
      ctx.rect(pen.sharp(r.x0), pen.sharp(y0), Math.max(r.x1 - r.x0, 1), Math.round(y1 - y0));
    }
  }
  ctx.stroke();
  ctx.setLineDash([]);
}

/** @param {Pen} pen @param {Run} r */
function outlineStep(pen, r) {
  const [top, bottom] = errorBand(pen.rows, r.kind);
  const far = pen.sharp(r.kind === "ahead" ? top : bottom);
  pen.ctx.moveTo(pen.sharp(r.x0), pen.rows.leg);
  pen.ctx.lineTo(pen.sharp(r.x0), far);
  pen.ctx.lineTo(pen.sharp(r.x1), far);
  pen.ctx.lineTo(pen.sharp(r.x1), pen.rows.leg);
}

/** A bar with its two long sides; wide, which lies clear of the leg, is tied to it at its ends.
 * @param {Pen} pen @param {Run} r */
export function outlineBand(pen, r) {
  const { ctx, rows } = pen;
  const [y0, y1] = errorBand(rows, r.kind).map((y) => pen.sharp(y));
  const x0 = pen.sharp(r.x0);
  const x1 = pen.sharp(Math.max(r.x1, r.x0 + 1));
  ctx.moveTo(x0, y0);
  ctx.lineTo(x1, y0);
  ctx.moveTo(x0, y1);
  ctx.lineTo(x1, y1);
  const ends = r.kind === "wide" ? [rows.leg, rows.outside < 0 ? y0 : y1] : [y0, y1];
  if (r.opens) {
    ctx.moveTo(x0, ends[0]);
    ctx.lineTo(x0, ends[1]);
  }
  if (r.closes) {
    ctx.moveTo(x1, ends[0]);
    ctx.lineTo(x1, ends[1]);
  }
}

/**
 * The dog's line over a set of time: on the leg, stepped off by ahead and behind.
 * @param {Pen} pen
 * @param {Interval[]} set
 * @param {number} from @param {number} to µs
 * @param {boolean} dotted
 * @param {import("../track.js").Track<import("../scene.js").Piece>} [steps] where it is stepped off
 */
export function dogLine(pen, set, from, to, dotted, steps = pen.scene.steps) {
  const { ctx, rows, scale, ink, s } = pen;
  const leg = rows.leg;
  ctx.strokeStyle = ink.ink;
  ctx.lineWidth = 2.25 * s;
  ctx.lineJoin = "miter";
  ctx.lineCap = dotted ? "round" : "butt";
  ctx.setLineDash(dotted ? [0.01, 4.5 * s] : []);
  ctx.beginPath();
  let drawnTo = -Infinity;
  for (const [a, b] of cut(set, from, to)) {
    const x0 = scale.near(a);
    const x1 = Math.max(scale.near(b), x0 + 0.5);
    if (x1 - drawnTo < 0.5) continue; // lost in the pixel of the one before
    drawnTo = x1;
    let started = false;
    let open = false;
    for (const r of runsOf(pen, steps, a, b)) {
      const y = r.kind === "ahead" ? leg - rows.depth : leg + rows.depth;
      if (!started) ctx.moveTo(x0, r.opens ? leg : y);
      if (r.opens) ctx.lineTo(r.x0, leg);
      ctx.lineTo(r.x0, y);
      ctx.lineTo(r.x1, y);
      if (r.closes) ctx.lineTo(r.x1, leg);
      open = !r.closes;
      started = true;
    }
    if (!started) ctx.moveTo(x0, leg);
    if (!open) ctx.lineTo(x1, leg);
  }
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.lineCap = "butt";
}

/** @param {Pen} pen */
export function paintDogLine(pen) {
  const { scene } = pen;
  dogLine(pen, scene.solid, pen.from, pen.to, false);
  dogLine(pen, scene.dotted, pen.from, pen.to, true);
  dots(pen, cut(scene.loose, pen.from, pen.to));
}

/** Off task outside heel work: dots alone, where the dog's line would be.
 * @param {Pen} pen @param {Interval[]} set */
export function dots(pen, set) {
  const { ctx, scale, rows, ink, s } = pen;
  ctx.strokeStyle = ink.soft;
  ctx.lineWidth = 3 * s;
  ctx.lineCap = "round";
  ctx.setLineDash([0.01, 5.5 * s]);
  ctx.beginPath();
  for (const [a, b] of set) {
    ctx.moveTo(scale.near(a), rows.leg);
    ctx.lineTo(scale.near(b), rows.leg);
  }
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.lineCap = "butt";
}

/**
 * An error that is still open, from its start to `end`, with no right edge.
 * @param {Pen} pen @param {import("../types.js").Item} item @param {number} end µs
 */
export function openError(pen, item, end) {
  const { ctx, rows, scale, ink, scene, s } = pen;
  const [y0, y1] = errorBand(rows, item.kind);
  const inside = cut(scene.heel, item.start, end);
  const step = item.kind === "ahead" || item.kind === "behind";
  for (const [a, b] of inside) {
    const run = { x0: scale.near(a), x1: scale.near(b), kind: item.kind, opens: a === item.start, closes: false };
    ctx.fillStyle = ink.error;
    ctx.fillRect(run.x0, y0, run.x1 - run.x0, y1 - y0);
    if (step) continue; // its outline is the dog's line
    ctx.strokeStyle = ink.ink;
    ctx.lineWidth = 1;
    ctx.beginPath();
    outlineBand(pen, run);
    ctx.stroke();
  }
  ctx.strokeStyle = ink.faint;
  ctx.setLineDash([3 * s, 3 * s]);
  ctx.beginPath();
  for (const [a, b] of subtract(subtract([[item.start, end]], scene.heel), scene.hidden)) {
    for (const y of [y0, y1]) {
      ctx.moveTo(scale.near(a), pen.sharp(y));
      ctx.lineTo(scale.near(b), pen.sharp(y));
    }
  }
  ctx.stroke();
  ctx.setLineDash([]);
}

/** Lengths of bouts, dimmed while they belong to an older state. @param {Pen} pen @param {import("../derived.js").Derived} derived @param {boolean} stale */
export function paintLengths(pen, derived, stale) {
  const { rows, scale, ink } = pen;
  let lastX = -Infinity;
  derived.lengths.each(pen.from, pen.to, (l) => {
    const x0 = scale.near(l.start);
    const x1 = scale.near(l.end);
    if (x1 - lastX < 2) return;
    lastX = x1;
    const off = l.kind === "off-task";
    const above = off || labelledAbove(rows, l.kind);
    const look = { order: off ? 50 : 11, colour: off ? ink.muted : ink.correction, alpha: stale && !l.raw ? 0.4 : 1, font: off ? ink.italic : ink.label };
    const texts = [`${l.word} ${l.seconds} s`.trim(), `${l.seconds} s`, x1 - x0 > 8 ? l.seconds : ""];
    if (l.kind === "" && x1 - x0 > 6) brace(pen, x0, x1, look.alpha);
    pen.offerCentred(look, off ? texts.slice(0, 1) : texts, x0, x1, above ? rows.above : rows.below);
  });
}

/** A hairline over a bout of several kinds, to show what its length is the length of.
 * @param {Pen} pen @param {number} x0 @param {number} x1 @param {number} alpha */
function brace(pen, x0, x1, alpha) {
  const { ctx, rows, ink, s } = pen;
  const y = pen.sharp(rows.above + 2.5 * s);
  ctx.globalAlpha = alpha;
  ctx.strokeStyle = ink.correction;
  ctx.lineWidth = 1;
  ctx.beginPath();
  ctx.moveTo(pen.sharp(x0), y + 3 * s);
  ctx.lineTo(pen.sharp(x0), y);
  ctx.lineTo(pen.sharp(x1), y);
  ctx.lineTo(pen.sharp(x1), y + 3 * s);
  ctx.stroke();
  ctx.globalAlpha = 1;
}
