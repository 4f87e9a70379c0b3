// @ts-check
// The strip as its gestures see it: pixels in, requests out.
import { SEEK, SELECT } from "./types.js";
import { hit, grip } from "./boxes.js";
import { isWhole } from "./view.js";
import { describe } from "./listing.js";

/** @typedef {import("./types.js").Item} Item */

/**
 * @param {import("./strip.js").Strip} strip
 * @returns {import("./gestures.js").Host}
 */
export function hostOf(strip) {
  const on = () => ({ rows: strip.rows, scale: strip.scale, now: strip.now });
  const inClip = (/** @type {number} */ us) => Math.min(Math.max(us, strip.clip.from), strip.clip.to);
  const selected = () => [...strip.selection].map((id) => strip.scene.byId.get(id)).filter((i) => i !== undefined);
  const itemAt = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ slop) => hit(nearby(strip, x, slop + 16), x, y, slop, on());
  const inPlot = (/** @type {number} */ x, /** @type {number} */ y) => x >= strip.rows.left - 6 && y > strip.rows.overview * 2;
  return {
    root: strip.root,
    us: (x) => inClip(strip.scale.us(Math.min(Math.max(x, strip.scale.left), strip.scale.right))),
    hit: (x, y, slop) => (inPlot(x, y) ? itemAt(x, y, slop)?.id ?? null : null),
    grip: (x, y, slop) => (inPlot(x, y) ? grip(selected(), x, y, slop, on()) : null),
    onOverview: (x, y) => y <= strip.rows.overview * 2 + 2 && x >= strip.rows.left && !isWhole(strip.shown, strip.clip),
    whole: () => isWhole(strip.shown, strip.clip),
    seek: (us) => strip.send(SEEK, { us }),
    select: (ids, add) => {
      if (ids.length > 0 || strip.selection.size > 0) strip.send(SELECT, { ids, add });
    },
    open: (id) => {
      const item = id === null ? undefined : strip.scene.byId.get(id);
      if (!item) return strip.fit();
      const end = item.open ? Math.max(strip.now, item.start) : item.end;
      const air = Math.max((end - item.start) * 0.4, 1.5e6);
      strip.showRange(item.start - air, end + air);
    },
    pan: (pixels) => strip.pan(pixels / strip.scale.perUs),
    overviewTo: (x) => {
      const { rows, clip, shown } = strip;
      const middle = clip.from + ((x - rows.left) / (rows.right - rows.left)) * (clip.to - clip.from);
      const length = shown.to - shown.from;
      strip.showRange(middle - length / 2, middle + length / 2);
    },
    zoom: (factor, x) => strip.zoom(factor, strip.scale.us(Math.min(Math.max(x, strip.scale.left), strip.scale.right))),
    edgeStart: (taken) => strip.edgeStart(taken),
    edgeMove: (us) => strip.edgeMove(us),
    edgeEnd: (how) => strip.edgeEnd(how),
    hover: (x, y) => {
      const taken = inPlot(x, y) ? grip(selected(), x, y, 6, on()) : null;
      const item = taken?.item ?? (inPlot(x, y) ? itemAt(x, y, 3) : null);
      strip.root.style.cursor = taken ? "ew-resize" : item ? "pointer" : inPlot(x, y) ? "crosshair" : "default";
      const title = item ? describe(item) : "";
      if (strip.root.title !== title) strip.root.title = title;
    },
  };
}

/**
 * The items that may lie at x, within `slop` pixels.
 * @param {import("./strip.js").Strip} strip
 * @param {number} x
 * @param {number} slop
 * @returns {Item[]}
 */
function nearby({ scene, scale, rows }, x, slop) {
  /** @type {Item[]} */
  const items = [...scene.open];
  const from = scale.us(x - slop * rows.scale);
  const to = scale.us(x + slop * rows.scale);
  for (const track of Object.values(scene.tracks)) track.each(from, to, (item) => items.push(item));
  return items;
}
