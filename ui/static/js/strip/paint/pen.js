// @ts-check
// What every painter of the strip draws with: the canvas, the scale of time, the
// rows, the inks, and the labels that wait for a place.
import { textWidth } from "./ink.js";
import { Occupancy, place, centred, shorten } from "../labels.js";

/** @typedef {import("../types.js").Item} Item */
/** @typedef {import("./ink.js").Ink} Ink */
/** @typedef {import("../rows.js").Rows} Rows */
/** @typedef {import("../view.js").Scale} Scale */
/** @typedef {import("../scene.js").Scene} Scene */

/**
 * @typedef {object} Label
 * @property {number} order of two labels the one with the lower order is offered a place first
 * @property {string} font
 * @property {string} colour
 * @property {number} alpha
 * @property {import("../labels.js").Place[]} places
 */

const KEPT = 2000; // labels offered at most: more could never find room

export class Pen {
  /**
   * @param {CanvasRenderingContext2D} ctx scaled so that a unit is a CSS pixel
   * @param {{scale: Scale, rows: Rows, ink: Ink, scene: Scene, dpr: number, selection: Set<string>, now: number, clip: import("../types.js").View}} given
   */
  constructor(ctx, given) {
    this.ctx = ctx;
    this.scale = given.scale;
    this.rows = given.rows;
    this.ink = given.ink;
    this.scene = given.scene;
    this.dpr = given.dpr;
    this.selection = given.selection;
    this.now = given.now;
    this.clip = given.clip;
    this.s = given.rows.scale;
    // A little more than the view, for shapes that are wider than their moment.
    this.from = this.scale.us(this.scale.left - 24 * this.s);
    this.to = this.scale.us(this.scale.right + 24 * this.s);
    /** @type {Occupancy | null} */
    this.taken = null;
    /** @type {Label[]} */
    this.labels = [];
  }

  /** What is taken already; labels keep clear of it. */
  get grid() {
    return (this.taken ??= new Occupancy(this.rows.width, this.rows.height));
  }

  /** @param {number} v a pixel, moved to the middle of a device pixel: hairlines stay sharp */
  sharp(v) {
    return (Math.floor(v * this.dpr) + 0.5) / this.dpr;
  }

  /** @param {string} font @param {string} text */
  width(font, text) {
    return textWidth(this.ctx, font, text);
  }

  /**
   * Calls draw(item, x) for the items of a track in view, leaving out those that
   * start and end within a pixel of the last one of the same look: thousands on
   * one pixel look like one.
   * @param {string} name of the track
   * @param {(item: Item) => string} look
   * @param {(item: Item, x: number) => void} draw
   */
  each(name, look, draw) {
    /** @type {Map<string, {x: number, x1: number}>} */
    const drawn = new Map();
    this.scene.tracks[name].each(this.from, this.to, (item) => {
      const x = this.scale.x(item.start);
      const x1 = this.scale.x(item.end);
      const key = look(item);
      const last = drawn.get(key);
      if (last && x - last.x < 1 && x1 - last.x1 < 1 && !this.selection.has(item.id)) return;
      if (!last) drawn.set(key, { x, x1 });
      else [last.x, last.x1] = [x, x1];
      draw(item, x);
    });
  }

  /**
   * Offers a text at the given places, the best one first.
   * @param {{order: number, font?: string, colour: string, alpha?: number}} look
   * @param {{text: string, x: number, y: number, align?: "left" | "right"}[]} places
   */
  offer({ order, font = this.ink.label, colour, alpha = 1 }, places) {
    if (this.labels.length >= KEPT) return;
    const at = [];
    for (const { text, x, y, align } of places) {
      if (!text) continue;
      const width = this.width(font, text);
      at.push({ text, x: align === "right" ? x - width : x, y, width });
    }
    if (at.length > 0) this.labels.push({ order, font, colour, alpha, places: at });
  }

  /**
   * Offers texts over the middle of a span, the longest wording first, each moved
   * into view; if the middle is taken, a little to the left or right of it. None
   * for a span that has no part in view.
   * @param {{order: number, font?: string, colour: string, alpha?: number}} look
   * @param {string[]} texts @param {number} x0 @param {number} x1 @param {number} y
   */
  offerCentred(look, texts, x0, x1, y) {
    const { left, right } = this.scale;
    if (x1 < left || x0 > right) return;
    const font = look.font ?? this.ink.label;
    this.offer(look, texts.flatMap((text) => {
      const width = this.width(font, text);
      const x = centred(x0, x1, width, left, right);
      return [0, -0.2, 0.2, -0.4, 0.4].map((part) => ({ text, x: x + part * width, y }));
    }));
  }

  /**
   * The text cut to at most `room` pixels.
   * @param {string} font @param {string} text @param {number} room
   */
  fit(font, text, room) {
    return shorten(text, room, (s) => this.width(font, s));
  }

  /** Draws the labels that find a place, in their order. */
  drawLabels() {
    const { ctx, grid, s } = this;
    this.labels.sort((a, b) => a.order - b.order);
    const box = { ascent: 9 * s, descent: 2 * s, left: this.scale.left - 6 * s, right: Math.max(this.scale.right, this.rows.width - 3 * s) };
    ctx.textBaseline = "alphabetic";
    ctx.textAlign = "left";
    for (const l of this.labels) {
      const p = place(grid, l.places, box);
      if (!p) continue;
      ctx.font = l.font;
      ctx.fillStyle = l.colour;
      ctx.globalAlpha = l.alpha;
      ctx.fillText(p.text, p.x, p.y);
    }
    ctx.globalAlpha = 1;
    this.labels = [];
  }
}
