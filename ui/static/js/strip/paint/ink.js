// @ts-check
// Colours and letters of the strip, read from the page's custom properties.

const COLOURS = {
  paper: "--paper", ink: "--ink", soft: "--ink-soft", muted: "--muted", line: "--line", strong: "--line-strong",
  accent: "--accent", help: "--help", correction: "--correction", error: "--error-fill", stay: "--stay-fill",
  stayLine: "--stay-line", hatch: "--hatch", guide: "--guide", faint: "--faint", selection: "--selection",
};

/**
 * @typedef {Record<keyof typeof COLOURS, string> & {scale: number, name: string, label: string, small: string, italic: string}} Ink
 * `scale` is the reader's letter size over 16 px; name, label, small and italic are fonts
 */

/**
 * @param {Element} root
 * @returns {Ink}
 */
export function readInk(root) {
  const style = getComputedStyle(root);
  const ink = /** @type {any} */ ({});
  for (const [name, property] of Object.entries(COLOURS)) ink[name] = style.getPropertyValue(property).trim() || "#808080";
  const serif = style.getPropertyValue("--serif").trim() || "serif";
  const scale = (parseFloat(getComputedStyle(document.documentElement).fontSize) || 16) / 16;
  ink.scale = scale;
  ink.name = `${13 * scale}px ${serif}`;
  ink.label = `${12 * scale}px ${serif}`;
  ink.small = `${11 * scale}px ${serif}`;
  ink.italic = `italic ${12 * scale}px ${serif}`;
  return ink;
}

/** @type {Map<string, Map<string, number>>} */
const widths = new Map();

/**
 * The width of a text, remembered: measuring costs more than drawing.
 * @param {CanvasRenderingContext2D} ctx
 * @param {string} font
 * @param {string} text
 */
export function textWidth(ctx, font, text) {
  let known = widths.get(font);
  if (!known) widths.set(font, (known = new Map()));
  let w = known.get(text);
  if (w === undefined) {
    if (known.size > 5000) known.clear();
    ctx.font = font;
    w = ctx.measureText(text).width;
    known.set(text, w);
  }
  return w;
}
