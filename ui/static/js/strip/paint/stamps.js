// @ts-check
// Shapes that occur often are painted once and then stamped: copies cost far less
// than paths. Where they lie so close that they run together, a row of them is
// one stamp.

/** @type {WeakMap<object, Map<string, ImageBitmap>>} */
const stamps = new WeakMap(); // by inks: new colours, new stamps

/**
 * The stamp of a look, `count` shapes beside each other. The centre of the first
 * lies half CSS pixels from the left and top edge.
 * @param {object} ink what the colours come from
 * @param {string} look names it among all stamps of these inks
 * @param {number} half
 * @param {number} dpr
 * @param {number} count
 * @param {number} apart device pixels between the centres of neighbours
 * @param {(ctx: CanvasRenderingContext2D) => void} paint round 0, 0
 */
function stampOf(ink, look, half, dpr, count, apart, paint) {
  let known = stamps.get(ink);
  if (!known) stamps.set(ink, (known = new Map()));
  const key = `${look} ${half} ${dpr} ${count} ${apart}`;
  let image = known.get(key);
  if (!image) {
    const size = Math.ceil(2 * half * dpr);
    const canvas = new OffscreenCanvas(size + (count - 1) * apart, size);
    const ctx = /** @type {CanvasRenderingContext2D} */ (/** @type {unknown} */ (canvas.getContext("2d")));
    for (let i = 0; i < count; i++) {
      ctx.setTransform(dpr, 0, 0, dpr, size / 2 + i * apart, size / 2);
      paint(ctx);
    }
    // A bitmap can't change any more, so that drawing it needs no look at its canvas.
    image = canvas.transferToImageBitmap();
    known.set(key, image);
  }
  return image;
}

/**
 * Stamps a look on each mark, centred on its start and on y. Marks closer than
 * one and a half times `apart` run together: such a run is drawn `apart` by
 * `apart`, in rows.
 * @param {import("./pen.js").Pen} pen
 * @param {{x: number}[]} marks by x
 * @param {number} y
 * @param {string} look its name; equal names, equal shapes
 * @param {number} half how far the shape goes from its centre, CSS pixels
 * @param {number} apart CSS pixels
 * @param {(ctx: CanvasRenderingContext2D) => void} paint round 0, 0
 */
export function stampMarks({ ctx, ink, dpr }, marks, y, look, half, apart, paint) {
  const step = Math.max(1, Math.round(apart * dpr));
  const images = ROWS.map((count) => () => stampOf(ink, look, half, dpr, count, step, paint));
  const size = Math.ceil(2 * half * dpr);
  const top = Math.round(y * dpr - size / 2) / dpr;
  const draw = (/** @type {ImageBitmap} */ image, /** @type {number} */ left) => ctx.drawImage(image, left / dpr, top, image.width / dpr, image.height / dpr);
  for (let i = 0; i < marks.length; ) {
    let last = i;
    while (last + 1 < marks.length && marks[last + 1].x - marks[last].x < 1.5 * apart) last++;
    let left = Math.round(marks[i].x * dpr - size / 2);
    const end = Math.round(marks[last].x * dpr - size / 2);
    ROWS.forEach((count, k) => {
      if (count === 1) return;
      for (; end - left >= (count - 1) * step; left += count * step) draw(images[k](), left);
    });
    const single = images[ROWS.length - 1]();
    for (; i <= last; i++) {
      const at = Math.round(marks[i].x * dpr - size / 2);
      if (at >= left) draw(single, at);
    }
  }
}

const ROWS = [32, 8, 1]; // how many shapes are one stamp
