// @ts-check
// Below the leg: rewards, help without pressure on the ground line, and pressure
// hanging from it. The length of a stem is its rank; help ends in a round foot,
// correction in a square one with a heavier stem.
import * as glyph from "./glyphs.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

/** @param {Pen} pen */
export function paintRewards(pen) {
  const { ctx, rows, ink, s } = pen;
  pen.each("rewards", (i) => (i.kind === "marker" ? "m" : ""), (item, x) => {
    // The marker only promises; the triangle is filled when the dog gets something.
    glyph.triangle(ctx, x, rows.rewards, 4.5 * s, ink.accent, item.kind === "marker" ? ink.paper : undefined);
    pen.grid.mark(x - 5 * s, rows.rewards - 5 * s, x + 5 * s, rows.rewards + 5 * s);
  });
}

/** @param {Pen} pen */
export function paintHelp(pen) {
  const { ctx, rows, scale, ink, s } = pen;
  pen.each("help", (i) => i.kind, (item, x) => {
    if (item.end > item.start) helpBar(pen, x, scale.near(item.end));
    glyph.dome(ctx, x, rows.ground, 5 * s, ink.help, ink.paper);
    pen.grid.mark(x - 6 * s, rows.ground - 6 * s, x + 6 * s, rows.ground);
    pen.offer({ order: 46, font: ink.italic, colour: ink.help }, [{ text: item.kind || item.name, x: x + 8 * s, y: rows.ground - 3 * s }]);
  });
}

/** @param {Pen} pen @param {number} x @param {number} x1 */
export function helpBar({ ctx, rows, ink, s }, x, x1) {
  ctx.strokeStyle = ink.help;
  ctx.lineWidth = 2.5 * s;
  ctx.beginPath();
  ctx.moveTo(x, rows.ground - 1.5 * s);
  ctx.lineTo(x1, rows.ground - 1.5 * s);
  ctx.stroke();
}

/** @param {Pen} pen */
export function paintPressure(pen) {
  const { scale } = pen;
  /** @type {{item: Item, x: number, x1: number}[]} */
  const drawn = [];
  pen.each("pressure", (i) => `${i.rank} ${i.level} ${i.taps}`, (item, x) => {
    const x1 = item.end > item.start ? Math.max(scale.near(item.end), x + 1) : x;
    drawn.push({ item, x, x1 });
  });
  for (const { item, x, x1 } of drawn) stem(pen, item, scale.near(item.start), x1, true);
  for (const item of pen.scene.open) {
    if (item.role !== "pressure") continue;
    const x = scale.near(item.start);
    stem(pen, item, x, x, true);
    drawn.push({ item, x, x1: scale.near(pen.now) });
  }
  for (const { item, x, x1 } of drawn) labelPressure(pen, item, x, Math.max(x, x1));
}

/**
 * A stem with its foot and, for held pressure, a bar at the foot.
 * @param {Pen} pen @param {Item} item @param {number} x @param {number} x1
 * @param {boolean} closed whether the bar's end is known
 */
export function stem(pen, item, x, x1, closed) {
  const { ctx, rows, ink, s } = pen;
  const y = rungOf(pen, item);
  const colour = item.helps ? ink.help : ink.correction;
  ctx.strokeStyle = colour;
  ctx.lineWidth = (item.helps ? 1.5 : 2.25) * s;
  ctx.beginPath();
  ctx.moveTo(x, rows.ground);
  ctx.lineTo(x, y);
  ctx.stroke();
  pen.grid.mark(x - 1.5 * s, rows.ground, x + 1.5 * s, y - 4 * s);
  if (x1 > x) {
    ctx.lineWidth = (item.helps ? 3 : 5) * s;
    ctx.lineCap = "butt";
    ctx.beginPath();
    ctx.moveTo(x, y);
    ctx.lineTo(x1, y);
    ctx.stroke();
    if (closed && item.helps) {
      ctx.lineWidth = 1.5 * s;
      ctx.beginPath();
      ctx.moveTo(x1, y - 3 * s);
      ctx.lineTo(x1, y + 3 * s);
      ctx.stroke();
    }
  }
  if (item.helps) glyph.disc(ctx, x, y, 4 * s, colour);
  else glyph.square(ctx, x, y, 4 * s, colour);
  pen.grid.mark(x - 4 * s, y - 4 * s, Math.max(x + 4 * s, x1), y + 4 * s);
}

/** @param {Pen} pen @param {Item} item */
const rungOf = ({ rows }, item) => rows.rungs[Math.min(item.rank, rows.rungs.length - 1)];

/**
 * Channel, level and taps at the foot; the level is kept longest.
 * @param {Pen} pen @param {Item} item @param {number} x @param {number} x1
 */
function labelPressure(pen, item, x, x1) {
  const { ink, s } = pen;
  const y = rungOf(pen, item) + 4 * s;
  const level = Number.isNaN(item.level) ? "" : String(item.level);
  const taps = item.taps > 1 ? `×${item.taps}` : "";
  const whole = [item.channel, level, taps].filter(Boolean).join(" ");
  const numbers = [level, taps].filter(Boolean).join(" ");
  const colour = item.helps ? ink.help : ink.correction;
  const far = pen.selection.has(item.id) ? 3 * s : 0; // clear of its frame
  const right = x1 + (x1 > x ? 5 : 7) * s + far;
  const left = x - 7 * s - far;
  pen.offer({ order: numbers ? 8 : 15, colour }, [
    { text: whole, x: right, y }, { text: whole, x: left, y, align: "right" },
    { text: numbers, x: right, y }, { text: numbers, x: left, y, align: "right" },
  ]);
}
