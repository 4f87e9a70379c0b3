// @ts-check
// Shapes that occur often are painted once and then stamped: thousands of copies
// cost far less than thousands of paths.

/** @type {WeakMap<object, Map<string, HTMLCanvasElement>>} */
const stamps = new WeakMap(); // by inks: new colours, new stamps

/**
 * The stamp of a look, 2 half by 2 half CSS pixels with its centre in the middle.
 * @param {object} ink what the colours come from
 * @param {string} look names it among all stamps of these inks
 * @param {number} half
 * @param {number} dpr
 * @param {(ctx: CanvasRenderingContext2D) => void} paint round 0, 0
 */
export function stampOf(ink, look, half, dpr, paint) {
  let known = stamps.get(ink);
  if (!known) stamps.set(ink, (known = new Map()));
  const key = `${look} ${half} ${dpr}`;
  let canvas = known.get(key);
  if (!canvas) {
    canvas = document.createElement("canvas");
    canvas.width = canvas.height = Math.ceil(2 * half * dpr);
    const ctx = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    ctx.setTransform(dpr, 0, 0, dpr, canvas.width / 2, canvas.height / 2);
    paint(ctx);
    known.set(key, canvas);
  }
  return canvas;
}
