// @ts-check
// What lies round the coding: the veil outside the window, and the names of the rows.

/** @typedef {import("./pen.js").Pen} Pen */

/** How far the shapes of what stands at a time go from it, times s. */
const REACH = 8;

/** Paper over what lies outside the coded window, and brackets at its ends. What
 * stands on an end belongs to the window: its shapes and words stay clear.
 * @param {Pen} pen @param {{start_us: number, end_us: number} | null} window
 * @param {import("../labels.js").Place[]} labels where words are */
export function paintWindow(pen, window, labels) {
  if (!window) return;
  const { ctx, rows, scale, ink, clip, s } = pen;
  const bottom = rows.height - 2 * s;
  for (const [at, edge, sign] of /** @type {[number, number, number][]} */ ([[window.start_us, clip.from, 1], [window.end_us, clip.to, -1]])) {
    if (Math.abs(at - edge) < 1) continue;
    const x = scale.near(at);
    const [a, b] = sign > 0 ? [scale.left - 8 * s, x] : [x, scale.right + 8 * s];
    if (b > a) {
      ctx.save();
      if (standsAt(pen, at)) {
        leaveOut(pen, x - REACH * s, 0, x + REACH * s, rows.height);
        for (const l of labels) {
          const [near, far] = sign > 0 ? [l.x + l.width, l.x] : [l.x, l.x + l.width];
          if ((near - x) * sign > -2 * REACH * s && (far - x) * sign < 0) leaveOut(pen, l.x, l.y - 10 * s, l.x + l.width, l.y + 3 * s);
        }
      }
      ctx.globalAlpha = 0.62;
      ctx.fillStyle = ink.paper;
      ctx.fillRect(a, rows.top - 2 * s, b - a, bottom - rows.top + 2 * s);
      ctx.restore();
    }
    if (x < scale.left || x > scale.right) continue;
    ctx.strokeStyle = ink.muted;
    ctx.lineWidth = 1;
    ctx.beginPath();
    const px = pen.sharp(x);
    ctx.moveTo(px + sign * 6 * s, pen.sharp(rows.top - 1));
    ctx.lineTo(px, pen.sharp(rows.top - 1));
    ctx.lineTo(px, pen.sharp(bottom));
    ctx.lineTo(px + sign * 6 * s, pen.sharp(bottom));
    ctx.stroke();
  }
}

/** Whether an event starts or ends at a time, as far as pixels tell. @param {Pen} pen @param {number} us */
function standsAt({ scale, scene }, us) {
  const x = scale.near(us);
  for (const { start, end } of scene.byId.values()) if (Math.abs(scale.near(start) - x) < 1 || Math.abs(scale.near(end) - x) < 1) return true;
  return false;
}

/** Keeps what is painted from now on out of a box. @param {Pen} pen @param {number} x0 @param {number} y0 @param {number} x1 @param {number} y1 */
function leaveOut({ ctx, rows }, x0, y0, x1, y1) {
  ctx.beginPath();
  ctx.rect(0, 0, rows.width, rows.height);
  ctx.rect(x0, y0, x1 - x0, y1 - y0);
  ctx.clip("evenodd");
}

/** Keeps words off the window's brackets. @param {Pen} pen @param {{start_us: number, end_us: number} | null} window */
export function keepWindowClear(pen, window) {
  if (!window) return;
  for (const us of [window.start_us, window.end_us]) {
    const x = pen.scale.near(us);
    if (us - pen.clip.from >= 1 && pen.clip.to - us >= 1) pen.grid.mark(x - 2, 0, x + 2, pen.rows.height);
  }
}

/** Names of the rows, left of the plot.
 * @param {Pen} pen @param {number} helpRank */
export function paintNames(pen, helpRank) {
  const { ctx, rows, ink, s } = pen;
  if (!rows.named) return;
  const x = rows.left - 10 * s;
  const room = x - 2 * s;
  const write = (/** @type {string} */ text, /** @type {number} */ y, /** @type {boolean} */ quiet, short = "") => {
    const font = quiet ? ink.small : ink.italic;
    const shown = short && pen.width(font, text) > room ? short : pen.fit(font, text, room);
    ctx.font = font;
    ctx.fillStyle = ink.muted;
    ctx.fillText(shown, x, y + 4 * s);
  };
  ctx.textAlign = "right";
  ctx.textBaseline = "alphabetic";
  write("cue, answer", rows.cue, false, "cues");
  write("ahead", rows.leg - rows.depth + 1 * s, true);
  write("at the leg", rows.leg, false);
  write("behind", rows.leg + rows.depth - 1 * s, true);
  write("pressure", rows.ground, false);
  const last = rows.rungs.length - 1;
  const middle = (/** @type {number} */ a, /** @type {number} */ b) => (rows.rungs[a] + rows.rungs[b]) / 2;
  if (helpRank >= 1) write("help", Math.max(middle(1, Math.min(helpRank, last)), rows.ground + 14 * s), true);
  if (helpRank < last) write("correction", middle(helpRank + 1, last), true);
  if (rows.signs) write("signs, remarks", rows.signs, false, "signs");
  for (const { lane, y } of rows.context) write(lane, y, false);
  ctx.textAlign = "left";
}
