// @ts-check
// The dog's line on the handler's leg, and the filled time out of position.
import { errorBand, labelledAbove } from "../rows.js";
import { cut, subtract } from "../intervals.js";
import { trackName } from "../scene.js";
import { filled, drawn, circle } from "./glyphs.js";

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
  const { ctx, rows, ink, scene, s } = pen;
  const of = (/** @type {{steps: any, bands: any}} */ part) => [runsOf(pen, part.steps, pen.from, pen.to), runsOf(pen, part.bands, pen.from, pen.to)];
  const [steps, bands] = of(scene.inside);
  ctx.fillStyle = ink.error;
  for (const r of [...steps, ...bands]) {
    const [y0, y1] = errorBand(rows, r.kind);
    ctx.fillRect(r.x0, y0, Math.max(r.x1 - r.x0, 1), y1 - y0);
  }
  drawn(ctx, ink.ink, 1, () => {
    for (const r of bands) outlineBand(pen, r);
    // The dog's line goes over steps; in heel work that is still open it stops at
    // the playhead, so there they get an outline of their own.
    const open = scene.open.find((i) => trackName(i) === "heel");
    for (const r of open ? steps : []) if (r.x1 > pen.scale.x(open?.start ?? 0)) outlineStep(pen, r);
  });
  ctx.setLineDash([3 * s, 3 * s]);
  drawn(ctx, ink.faint, 1, () => {
    for (const r of of(scene.outside).flat()) {
      const [y0, y1] = errorBand(rows, r.kind);
      ctx.rect(pen.sharp(r.x0), pen.sharp(y0), Math.max(r.x1 - r.x0, 1), Math.round(y1 - y0));
    }
  });
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
 * Intervals that leave less than a pixel between them are drawn as one.
 * @param {Pen} pen
 * @param {Interval[]} set
 * @param {number} from @param {number} to µs
 * @param {boolean} dotted
 * @param {import("../track.js").Track<import("../scene.js").Piece>} [steps] where it is stepped off
 */
export function dogLine(pen, set, from, to, dotted, steps = pen.scene.steps) {
  const { rows, scale, s } = pen;
  const nib = dotted ? dottedNib(pen, pen.ink.ink, 2.5, 4.5) : solidNib(pen);
  for (const [a, b] of joined(cut(set, from, to), 1 / scale.perUs)) {
    const x0 = scale.near(a);
    const x1 = Math.max(scale.near(b), x0 + 0.5);
    if (dotted && x1 - x0 < 2) continue; // not even two dots: a gap
    let x = x0;
    for (const r of runsOf(pen, steps, a, b)) {
      // Sides of a narrow step would cover its filling, which is what counts.
      const narrow = r.x1 - r.x0 < 4 * s;
      if (dotted && narrow) continue;
      const y = r.kind === "ahead" ? rows.leg - rows.depth : rows.leg + rows.depth;
      if (r.x0 > x) nib.along(x, r.x0, rows.leg);
      if (r.opens && !narrow) nib.across(r.x0, rows.leg, y);
      nib.along(r.x0, r.x1, y);
      if (r.closes && !narrow) nib.across(r.x1, rows.leg, y);
      x = Math.max(x, r.x1);
    }
    if (x1 > x) nib.along(x, x1, rows.leg);
  }
}

/** The set with gaps of less than `gap` closed. @param {Interval[]} set @param {number} gap @returns {Interval[]} */
function joined(set, gap) {
  /** @type {Interval[]} */
  const out = [];
  for (const [a, b] of set) {
    const last = out[out.length - 1];
    if (last && a - last[1] < gap) last[1] = b;
    else out.push([a, b]);
  }
  return out;
}

/** Draws along and across as bars of whole device pixels: sharp, and cheap in thousands. @param {Pen} pen */
function solidNib(pen) {
  const { ctx, ink, dpr, s } = pen;
  const w = Math.max(1, Math.round(2.25 * s * dpr)) / dpr;
  const snapped = (/** @type {number} */ v) => Math.round((v - w / 2) * dpr) / dpr;
  ctx.fillStyle = ink.ink;
  return {
    /** @param {number} x0 @param {number} x1 @param {number} y */
    along: (x0, x1, y) => ctx.fillRect(snapped(x0), snapped(y), Math.max(snapped(x1) - snapped(x0), 0) + w, w),
    /** @param {number} x @param {number} y0 @param {number} y1 */
    across: (x, y0, y1) => ctx.fillRect(snapped(x), snapped(Math.min(y0, y1)), w, Math.abs(y1 - y0) + w),
  };
}

/** Draws along and across in dots. @param {Pen} pen @param {string} colour @param {number} size @param {number} apart */
function dottedNib(pen, colour, size, apart) {
  const { s } = pen;
  const dot = (/** @type {number} */ x, /** @type {number} */ y) =>
    pen.stamp([{ x }], y, `dot ${colour}`, size / 2, (c) => filled(c, colour, () => circle(c, 0, 0, (size / 2) * s)));
  return {
    /** @param {number} x0 @param {number} x1 @param {number} y */
    along: (x0, x1, y) => {
      for (let x = x0 + s; x < Math.max(x1, x0 + 1.1 * s); x += apart * s) dot(x, y);
    },
    /** @param {number} x @param {number} y0 @param {number} y1 */
    across: (x, y0, y1) => {
      for (let y = Math.min(y0, y1); y < Math.max(y0, y1); y += apart * s) dot(x, y);
    },
  };
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
  const nib = dottedNib(pen, pen.ink.soft, 3, 5.5);
  for (const [a, b] of joined(set, 1 / pen.scale.perUs)) nib.along(pen.scale.near(a), pen.scale.near(b), pen.rows.leg);
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
    if (x1 - lastX < 12 * pen.s) return; // no room for another one
    lastX = x1;
    const off = l.kind === "off-task";
    const above = off || labelledAbove(rows, l.kind);
    const look = { order: off ? 50 : 11, colour: off ? ink.muted : ink.correction, alpha: stale && !l.raw ? 0.4 : 1, font: off ? ink.italic : ink.label };
    const texts = [`${l.word} ${l.seconds} s`.trim(), `${l.seconds} s`, x1 - x0 > 8 ? l.seconds : ""];
    if (l.kind === "" && x1 - x0 > 12) brace(pen, x0, x1, look.alpha);
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
