// @ts-check
// What every painter of the strip draws with: the canvas, the scale of time, the
// rows, the inks, and the labels that wait for a place.
import { textWidth } from "./ink.js";
import { stampMarks } from "./stamps.js";
import { Occupancy, place, centred, shorten } from "../labels.js";

/** @typedef {import("../types.js").Item} Item */
/** @typedef {import("./ink.js").Ink} Ink */
/** @typedef {import("../rows.js").Rows} Rows */
/** @typedef {import("../view.js").Scale} Scale */
/** @typedef {import("../scene.js").Scene} Scene */

/**
 * An item in view with its pixels.
 * @typedef {object} Mark
 * @property {Item} item
 * @property {number} x its start
 * @property {number} x1 its end
 * @property {number} before pixels since the start of the one before of the same look
 * @property {number} after pixels to the start of the next one
 */

/**
 * @typedef {object} Label
 * @property {number} order of two labels the one with the lower order is offered a place first
 * @property {string} font
 * @property {string} colour
 * @property {number} alpha
 * @property {import("../labels.js").Place[]} places
 */

const KEPT = 1500; // labels offered at most: more could never find room
const LEAST = 12; // pixels that the shortest word needs
const APART = 4; // pixels between shapes that are told apart

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
   * The items of a track in view, in order of start, each with its pixels, by
   * look. Of those of one look that start and end within APART of each other only
   * the first is kept: thousands on a few pixels look like one.
   * @template {string | number} K
   * @param {string} name of the track
   * @param {(item: Item) => K} look
   * @returns {Map<K, Mark[]>}
   */
  groups(name, look) {
    /** @type {Map<K, Mark[]>} */
    const groups = new Map();
    const apart = APART * this.s;
    this.scene.tracks[name].each(this.from, this.to, (item) => {
      const x = this.scale.near(item.start, 40);
      const x1 = this.scale.near(item.end, 40);
      const key = look(item);
      const list = groups.get(key);
      if (!list) return void groups.set(key, [{ item, x, x1, before: Infinity, after: Infinity }]);
      const last = list[list.length - 1];
      if (x - last.x < apart && x1 - last.x1 < apart && !this.selection.has(item.id)) return;
      last.after = x - last.x;
      list.push({ item, x, x1, before: x - last.x, after: Infinity });
    });
    return groups;
  }

  /**
   * Stamps one look on each mark, centred on its start and on y.
   * @param {{x: number}[]} marks
   * @param {number} y
   * @param {string} look its name; equal names, equal shapes
   * @param {number} half how far the shape goes from its centre, times s
   * @param {(ctx: CanvasRenderingContext2D) => void} paint round 0, 0
   */
  stamp(marks, y, look, half, paint) {
    stampMarks(this, marks, y, look, (half + 1) * this.s, APART * this.s, paint);
  }

  /**
   * An upright bar of whole device pixels, centred on x.
   * @param {number} x @param {number} y0 @param {number} y1 @param {number} width
   */
  upright(x, y0, y1, width) {
    const w = Math.max(1, Math.round(width * this.dpr)) / this.dpr;
    this.ctx.fillRect(Math.round((x - w / 2) * this.dpr) / this.dpr, y0, w, y1 - y0);
  }

  /** Whether a word right of the mark, or left of it too, could find room at all. @param {Mark} mark @param {boolean} [either] */
  roomy({ before, after }, either = false) {
    return after > LEAST * this.s || (either && before > LEAST * this.s);
  }

  /** A mark for an open item, drawn at its start. @param {Item} item @returns {Mark} */
  openMark(item) {
    const x = this.scale.near(item.start);
    return { item, x, x1: x, before: Infinity, after: Infinity };
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

  /**
   * Draws the labels that find a place, in their order.
   * @returns {import("../labels.js").Place[]} where they are
   */
  drawLabels() {
    const { ctx, grid, s } = this;
    this.labels.sort((a, b) => a.order - b.order);
    const box = { ascent: 9 * s, descent: 2 * s, left: this.scale.left - 6 * s, right: Math.max(this.scale.right, this.rows.width - 3 * s) };
    ctx.textBaseline = "alphabetic";
    ctx.textAlign = "left";
    const drawn = [];
    for (const l of this.labels) {
      const p = place(grid, l.places, box);
      if (!p) continue;
      drawn.push(p);
      ctx.font = l.font;
      ctx.fillStyle = l.colour;
      ctx.globalAlpha = l.alpha;
      ctx.fillText(p.text, p.x, p.y);
    }
    ctx.globalAlpha = 1;
    this.labels = [];
    return drawn;
  }
}
