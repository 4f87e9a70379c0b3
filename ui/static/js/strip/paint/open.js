// @ts-check
// Spans that are still open, drawn up to the playhead on a layer under the rest
// of the strip, so that a moving playhead repaints only these.
import { hatch } from "./ground.js";
import { dogLine, openError, dots } from "./line.js";
import { stayBar, otherLine } from "./stays.js";
import { stems, helpBar } from "./pressure.js";
import { signShapes, contextRule } from "./signs.js";
import { openEnd } from "../boxes.js";
import { union, subtract, intersect } from "../intervals.js";
import { trackName, isStep } from "../scene.js";
import { Track } from "../track.js";

/** @typedef {import("./pen.js").Pen} Pen */
/** @typedef {import("../types.js").Item} Item */

// Lower ones first.
const LAYERS = ["distractions", "stays", "others", "errors", "heel", "offTask", "pressure", "help", "signs", "context"];

/** @param {Pen} pen */
export function paintOpen(pen) {
  const { scale, s } = pen;
  for (const layer of LAYERS) {
    for (const item of pen.scene.open) {
      if (trackName(item) !== layer) continue;
      const x0 = scale.near(item.start, 40);
      const x1 = openEnd(item, scale, pen.now, s);
      if (x1 < scale.left - 20 || x0 > scale.right + 20) continue;
      paintItem(pen, layer, item, x0, x1);
    }
  }
}

/** @param {Pen} pen @param {string} layer @param {Item} item @param {number} x0 @param {number} x1 */
function paintItem(pen, layer, item, x0, x1) {
  const end = Math.max(item.start, pen.scale.us(x1));
  switch (layer) {
    case "distractions": return hatch(pen, x0, x1);
    case "stays": return stayBar(pen, item, x0, x1, false);
    case "others": return otherLine(pen, item, x0, x1, false);
    case "heel": return openHeel(pen, item, end);
    case "errors": return openError(pen, item, end);
    case "offTask": return dots(pen, subtract(subtract([[item.start, end]], pen.scene.heel), pen.scene.hidden));
    case "pressure": return stems(pen, [{ item, x: x0, x1 }], false);
    case "help": return helpBar(pen, x0, x1);
    case "signs": return pen.rows.signs ? signShapes(pen, [{ item, x: x0, x1 }]) : undefined;
    case "context": return contextRule(pen, item, x1, false);
  }
}

/**
 * The dog's line of heel work that is still open, stepped off by errors that are
 * open themselves, dotted while off task.
 * @param {Pen} pen @param {Item} item @param {number} end µs
 */
function openHeel(pen, item, end) {
  const { scene } = pen;
  const running = (/** @type {string} */ name) =>
    scene.open.filter((i) => trackName(i) === name && i.start < end).map((i) => ({ start: Math.max(i.start, item.start), end, kind: i.kind }));
  const errors = running("errors").filter((p) => isStep(p.kind));
  const span = (/** @type {{start: number, end: number}} */ p) => /** @type {import("../types.js").Interval} */ ([p.start, p.end]);
  const seen = subtract([[item.start, end]], scene.hidden);
  const off = union([...scene.off, ...running("offTask").map(span)]);
  const stepped = union(errors.map(span));
  for (const dotted of [false, true]) {
    const set = dotted ? intersect(seen, off) : subtract(seen, off);
    dogLine(pen, subtract(set, stepped), pen.from, pen.to, dotted);
    if (errors.length > 0) dogLine(pen, intersect(set, stepped), pen.from, pen.to, dotted, new Track(errors.slice(-1)));
  }
}
