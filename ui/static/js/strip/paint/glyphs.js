// @ts-check
// The strip's shapes. Each means one thing in black and white as well; colour
// only repeats it. A shape is added to the path that is being made, so that all
// of one look are painted at once; x, y is its centre, r half its size.

/** @typedef {CanvasRenderingContext2D} Ctx */

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function circle(c, x, y, r) {
  c.moveTo(x + r, y);
  c.arc(x, y, r, 0, 2 * Math.PI);
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function square(c, x, y, r) {
  c.rect(x - r, y - r, 2 * r, 2 * r);
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function diamond(c, x, y, r) {
  c.moveTo(x, y - r);
  c.lineTo(x + r, y);
  c.lineTo(x, y + r);
  c.lineTo(x - r, y);
  c.closePath();
}

/** A triangle on its base. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function triangle(c, x, y, r) {
  c.moveTo(x - r, y + r * 0.8);
  c.lineTo(x + r, y + r * 0.8);
  c.lineTo(x, y - r);
  c.closePath();
}

/** A dome on the line y. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function dome(c, x, y, r) {
  c.moveTo(x - r, y);
  c.arc(x, y, r, Math.PI, 0);
  c.closePath();
}

/** An ear: a half ring open to the left. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function ear(c, x, y, r) {
  const a = Math.PI / 2.2;
  c.moveTo(x - r * 0.5 + r * Math.cos(a), y - r * Math.sin(a));
  c.arc(x - r * 0.5, y, r, -a, a);
}

/** Set free: an arrow up and to the right. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function freed(c, x, y, r) {
  const [tx, ty] = [x + r * 1.3, y - r];
  c.moveTo(x, y + r);
  c.lineTo(tx, ty);
  c.moveTo(tx - r * 0.9, ty);
  c.lineTo(tx, ty);
  c.lineTo(tx, ty + r * 0.9);
}

/**
 * A turn: an arc with a head to the left or right, back on itself for about, a
 * bare arc for any other kind.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} kind
 */
export function turn(c, x, y, r, kind) {
  const side = kind === "left" ? -1 : 1;
  if (kind === "about") {
    c.moveTo(x - r * 0.7, y + r);
    c.lineTo(x - r * 0.7, y - r * 0.2);
    c.arc(x, y - r * 0.2, r * 0.7, Math.PI, 0);
    c.lineTo(x + r * 0.7, y + r * 0.9);
    head(c, x + r * 0.7, y + r, 0, 1, r * 0.7);
    return;
  }
  c.moveTo(x - side * r * 0.7, y + r);
  c.lineTo(x - side * r * 0.7, y);
  c.quadraticCurveTo(x - side * r * 0.7, y - r * 0.7, x, y - r * 0.7);
  c.lineTo(x + side * r * 0.9, y - r * 0.7);
  if (kind === "left" || kind === "right") head(c, x + side * r, y - r * 0.7, side, 0, r * 0.7);
}

/**
 * A change of pace or distance: two chevrons for faster and slower, an arrow for
 * going away and coming back, two bars for any other kind.
 * @param {Ctx} c @param {number} x @param {number} y @param {number} r @param {string} kind
 */
export function pace(c, x, y, r, kind) {
  const side = kind === "slow" || kind === "comes back" ? -1 : 1;
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
    bar(c, x - r * 0.4, y - r * 0.7, y + r * 0.7);
    bar(c, x + r * 0.4, y - r * 0.7, y + r * 0.7);
  }
}

/** A zigzag from x to x1, at least one tooth: stress. @param {Ctx} c @param {number} x @param {number} x1 @param {number} y @param {number} r */
export function zigzag(c, x, x1, y, r) {
  c.moveTo(x, y);
  const step = r * 0.7;
  let up = true;
  for (let at = x + step / 2; at < x1; at += step, up = !up) c.lineTo(at, y + (up ? -r * 0.7 : r * 0.7));
  c.lineTo(x1, y);
}

/** A smile: ease. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function smile(c, x, y, r) {
  const a = Math.PI * 0.12;
  c.moveTo(x + r * Math.cos(a), y - r * 0.5 + r * Math.sin(a));
  c.arc(x, y - r * 0.5, r, a, Math.PI - a);
}

/** A flag on a pole: a remark. @param {Ctx} c @param {number} x @param {number} y @param {number} r */
export function flag(c, x, y, r) {
  c.moveTo(x, y + r);
  c.lineTo(x, y - r);
  c.lineTo(x + r * 1.3, y - r * 0.45);
  c.lineTo(x, y + r * 0.1);
}

/** An upright line. @param {Ctx} c @param {number} x @param {number} y0 @param {number} y1 */
export function bar(c, x, y0, y1) {
  c.moveTo(x, y0);
  c.lineTo(x, y1);
}

/** @param {Ctx} c @param {number} x @param {number} y @param {number} dx @param {number} dy direction @param {number} n size */
function head(c, x, y, dx, dy, n) {
  c.moveTo(x - dx * n - dy * n * 0.7, y - dy * n - dx * n * 0.7);
  c.lineTo(x, y);
  c.lineTo(x - dx * n + dy * n * 0.7, y - dy * n + dx * n * 0.7);
}

/** Paints the path in one colour. @param {Ctx} c @param {string} colour @param {() => void} path */
export function filled(c, colour, path) {
  c.beginPath();
  path();
  c.fillStyle = colour;
  c.fill();
}

/** Draws the path as lines. @param {Ctx} c @param {string} colour @param {number} width @param {() => void} path */
export function drawn(c, colour, width, path) {
  c.beginPath();
  path();
  c.strokeStyle = colour;
  c.lineWidth = Math.max(width, 1);
  c.stroke();
}

/** Outlines the path, hollow: what lies under it doesn't show through. @param {Ctx} c @param {string} colour @param {string} paper @param {number} width @param {() => void} path */
export function hollow(c, colour, paper, width, path) {
  filled(c, paper, path);
  c.strokeStyle = colour;
  c.lineWidth = Math.max(width, 1);
  c.stroke();
}
