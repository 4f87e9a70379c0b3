// @ts-check
// The strip's shapes. Each means one thing in black and white as well; colour
// only repeats it. x, y is the centre; r half the size.

/** @typedef {CanvasRenderingContext2D} Ctx */

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour */
export function disc(c, x, y, r, colour) {
  c.beginPath();
  c.arc(x, y, r, 0, 2 * Math.PI);
  c.fillStyle = colour;
  c.fill();
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour @param {string} paper */
export function ring(c, x, y, r, colour, paper) {
  c.beginPath();
  c.arc(x, y, r, 0, 2 * Math.PI);
  c.fillStyle = paper;
  c.fill();
  c.strokeStyle = colour;
  c.lineWidth = r * 0.45;
  c.stroke();
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour */
export function square(c, x, y, r, colour) {
  c.fillStyle = colour;
  c.fillRect(x - r, y - r, 2 * r, 2 * r);
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour */
export function diamond(c, x, y, r, colour) {
  polygon(c, [x, y - r, x + r, y, x, y + r, x - r, y]);
  c.fillStyle = colour;
  c.fill();
}

/**
 * A triangle on its base; hollow on request.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour @param {string} [paper]
 */
export function triangle(c, x, y, r, colour, paper) {
  polygon(c, [x - r, y + r * 0.8, x + r, y + r * 0.8, x, y - r]);
  c.fillStyle = paper ?? colour;
  c.fill();
  if (!paper) return;
  c.strokeStyle = colour;
  c.lineWidth = r * 0.3;
  c.stroke();
}

/**
 * A dome on the line y.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour @param {string} paper
 */
export function dome(c, x, y, r, colour, paper) {
  c.beginPath();
  c.arc(x, y, r, Math.PI, 0);
  c.closePath();
  c.fillStyle = paper;
  c.fill();
  c.strokeStyle = colour;
  c.lineWidth = r * 0.3;
  c.stroke();
}

/**
 * An ear: a half ring open to the left.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour
 */
export function ear(c, x, y, r, colour) {
  c.beginPath();
  c.arc(x - r * 0.5, y, r, -Math.PI / 2.2, Math.PI / 2.2);
  stroke(c, colour, r * 0.35);
}

/**
 * Set free: an arrow up and to the right out of a corner.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour
 */
export function freed(c, x, y, r, colour) {
  const [tx, ty] = [x + r * 1.3, y - r];
  c.beginPath();
  c.moveTo(x, y + r);
  c.lineTo(tx, ty);
  c.moveTo(tx - r * 0.9, ty);
  c.lineTo(tx, ty);
  c.lineTo(tx, ty + r * 0.9);
  stroke(c, colour, r * 0.28);
}

/**
 * A turn: an arc with a head to the left or right, back on itself for about, a
 * bare arc for any other kind.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour @param {string} kind
 */
export function turn(c, x, y, r, colour, kind) {
  const side = kind === "left" ? -1 : 1;
  c.beginPath();
  if (kind === "about") {
    c.moveTo(x - r * 0.7, y + r);
    c.lineTo(x - r * 0.7, y - r * 0.2);
    c.arc(x, y - r * 0.2, r * 0.7, Math.PI, 0);
    c.lineTo(x + r * 0.7, y + r * 0.9);
    head(c, x + r * 0.7, y + r, 0, 1, r * 0.7);
  } else {
    c.moveTo(x - side * r * 0.7, y + r);
    c.lineTo(x - side * r * 0.7, y);
    c.quadraticCurveTo(x - side * r * 0.7, y - r * 0.7, x, y - r * 0.7);
    c.lineTo(x + side * r * 0.9, y - r * 0.7);
    if (kind === "left" || kind === "right") head(c, x + side * r, y - r * 0.7, side, 0, r * 0.7);
  }
  stroke(c, colour, r * 0.28);
}

/**
 * A change of pace or distance: two chevrons for faster and slower, one arrow for
 * going away and coming back, two bars for any other kind.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour @param {string} kind
 */
export function pace(c, x, y, r, colour, kind) {
  const side = kind === "slow" || kind === "comes back" ? -1 : 1;
  c.beginPath();
  if (kind === "fast" || kind === "slow") {
    for (const dx of [-0.7, 0.3]) {
      c.moveTo(x + side * r * dx, y - r * 0.7);
      c.lineTo(x + side * r * (dx + 0.6), y);
      c.lineTo(x + side * r * dx, y + r * 0.7);
    }
  } else if (kind === "goes away" || kind === "comes back") {
    c.moveTo(x - side * r, y);
    c.lineTo(x + side * r, y);
    head(c, x + side * r, y, side, 0, r * 0.8);
  } else {
    c.moveTo(x - r * 0.4, y - r * 0.7);
    c.lineTo(x - r * 0.4, y + r * 0.7);
    c.moveTo(x + r * 0.4, y - r * 0.7);
    c.lineTo(x + r * 0.4, y + r * 0.7);
  }
  stroke(c, colour, r * 0.28);
}

/**
 * A zigzag from x to x1, at least one tooth: stress.
 * @param {Ctx} c @param {number} x @param {number} x1 @param {number} y @param {number} r @param {string} colour
 */
export function zigzag(c, x, x1, y, r, colour) {
  c.beginPath();
  c.moveTo(x, y);
  const step = r * 0.7;
  let up = true;
  for (let at = x + step / 2; at < x1; at += step, up = !up) c.lineTo(at, y + (up ? -r * 0.7 : r * 0.7));
  c.lineTo(x1, y);
  stroke(c, colour, r * 0.32);
}

/**
 * A wave, a smile: ease.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour
 */
export function smile(c, x, y, r, colour) {
  c.beginPath();
  c.arc(x, y - r * 0.5, r, Math.PI * 0.12, Math.PI * 0.88);
  stroke(c, colour, r * 0.36);
}

/**
 * A flag on a pole: a remark.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} colour
 */
export function flag(c, x, y, r, colour) {
  c.beginPath();
  c.moveTo(x, y + r);
  c.lineTo(x, y - r);
  c.lineTo(x + r * 1.3, y - r * 0.45);
  c.lineTo(x, y + r * 0.1);
  stroke(c, colour, r * 0.24);
}

/** @param {Ctx} c @param {number[]} xy corners, closed */
function polygon(c, xy) {
  c.beginPath();
  for (let i = 0; i < xy.length; i += 2) c.lineTo(xy[i], xy[i + 1]);
  c.closePath();
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} dx @param {number} dy direction @param {number} n size */
function head(c, x, y, dx, dy, n) {
  c.moveTo(x - dx * n - dy * n * 0.7, y - dy * n - dx * n * 0.7);
  c.lineTo(x, y);
  c.lineTo(x - dx * n + dy * n * 0.7, y - dy * n + dx * n * 0.7);
}

/** @param {Ctx} c @param {string} colour @param {number} width */
function stroke(c, colour, width) {
  c.strokeStyle = colour;
  c.lineWidth = Math.max(width, 1);
  c.stroke();
}
