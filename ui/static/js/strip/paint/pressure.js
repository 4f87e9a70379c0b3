// @ts-check
// Below the leg: rewards, help without pressure on the ground line, and pressure
// hanging from it. The length of a stem is its rank; help ends in a round foot,
// correction in a square one with a heavier stem.
import * as glyph from "./glyphs.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */
/** @typedef {import("./pen.js").Mark} Mark */

/** @param {Pen} pen */
export function paintRewards(pen) {
  const { rows, ink, s } = pen;
  for (const [look, list] of pen.groups("rewards", (i) => (i.kind === "marker" ? "promised" : "given"))) {
    // A marker only promises; the triangle is full when the dog gets something.
    pen.stamp(list, rows.rewards, look, 5.5, (c) => {
      const path = () => glyph.triangle(c, 0, 0, 4.5 * s);
      if (look === "promised") glyph.hollow(c, ink.accent, ink.paper, 1.3 * s, path);
      else glyph.filled(c, ink.accent, path);
    });
    for (const { x } of list) pen.grid.mark(x - 5 * s, rows.rewards - 5 * s, x + 5 * s, rows.rewards + 5 * s);
  }
}

/** Help without pressure: a dome on the ground line, with a bar as long as it went on. @param {Pen} pen */
export function paintHelp(pen) {
  const { rows, ink, s } = pen;
  const list = pen.groups("help", () => "").get("") ?? [];
  for (const item of pen.scene.open) if (item.role === "help") list.push(pen.openMark(item));
  for (const { x, x1 } of list) if (x1 > x) helpBar(pen, x, x1);
  pen.stamp(list, rows.ground, "help", 6, (c) => glyph.hollow(c, ink.help, ink.paper, 1.5 * s, () => glyph.dome(c, 0, 0, 5 * s)));
  for (const mark of list) {
    const { item, x } = mark;
    pen.grid.mark(x - 6 * s, rows.ground - 6 * s, x + 6 * s, rows.ground);
    if (pen.roomy(mark)) pen.offer({ order: 46, font: ink.italic, colour: ink.help }, [{ text: item.kind || item.name, x: x + 8 * s, y: rows.ground - 3 * s }]);
  }
}

/** @param {Pen} pen @param {number} x @param {number} x1 */
export function helpBar({ ctx, rows, ink, s }, x, x1) {
  ctx.fillStyle = ink.help;
  ctx.fillRect(x, rows.ground - 3 * s, x1 - x, 3 * s);
}

/** @param {Pen} pen */
export function paintPressure(pen) {
  const groups = pen.groups("pressure", (i) => i.rank);
  for (const item of pen.scene.open) {
    if (item.role !== "pressure") continue;
    groups.set(item.rank, [...(groups.get(item.rank) ?? []), pen.openMark(item)]);
  }
  // Long stems first: the foot of a short one isn't crossed.
  const lists = [...groups.values()].sort((a, b) => b[0].item.rank - a[0].item.rank);
  for (const list of lists) stems(pen, list, true);
  for (const list of lists) {
    for (const mark of list) if (pen.roomy(mark, true)) labelPressure(pen, mark);
  }
}

/**
 * Stems of one rank, each with its foot and, for held pressure, a bar at the foot
 * as long as it was on.
 * @param {Pen} pen
 * @param {Pick<Mark, "item" | "x" | "x1">[]} list x1 = x for a moment
 * @param {boolean} closed whether the ends of bars are known
 */
export function stems(pen, list, closed) {
  const { ctx, rows, ink, grid, s } = pen;
  const { item } = list[0];
  const y = rungOf(pen, item);
  const colour = item.helps ? ink.help : ink.correction;
  ctx.fillStyle = colour;
  const thick = (item.helps ? 3 : 5) * s;
  for (const { x, x1 } of list) {
    pen.upright(x, rows.ground, y, (item.helps ? 1.5 : 2.25) * s);
    if (x1 <= x) continue;
    ctx.fillRect(x, y - thick / 2, x1 - x, thick);
    if (closed && item.helps) pen.upright(x1, y - 3 * s, y + 3 * s, 1.5 * s);
  }
  const foot = item.helps ? "help foot" : "correction foot";
  pen.stamp(list, y, foot, 4, (c) => glyph.filled(c, colour, () => (item.helps ? glyph.circle : glyph.square)(c, 0, 0, 4 * s)));
  for (const { x, x1 } of list) {
    grid.mark(x - 1.5 * s, rows.ground, x + 1.5 * s, y - 4 * s);
    grid.mark(x - 4 * s, y - 4 * s, Math.max(x + 4 * s, x1), y + 4 * s);
  }
}

/** @param {Pen} pen @param {Item} item */
const rungOf = ({ rows }, item) => rows.rungs[Math.min(item.rank, rows.rungs.length - 1)];

/**
 * What it is, level and taps at the foot; the level is kept longest.
 * @param {Pen} pen @param {Mark} mark
 */
function labelPressure(pen, { item, x, x1: known }) {
  const { ink, s } = pen;
  const x1 = item.open ? Math.max(pen.scale.near(pen.now), x) : known;
  const y = rungOf(pen, item) + 4 * s;
  const level = Number.isNaN(item.level) ? "" : String(item.level);
  const taps = item.taps > 1 ? `×${item.taps}` : "";
  const whole = [item.called, level, taps].filter(Boolean).join(" ");
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
