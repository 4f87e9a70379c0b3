// @ts-check
// The strip: the picture of a reading over time. It draws what it is given and
// asks for changes by events on its root (types.js); it never changes a reading.
import { EDGE, VIEW } from "./types.js";
import { Book } from "./book.js";
import { buildScene, trackName } from "./scene.js";
import { derive } from "./derived.js";
import { layoutRows } from "./rows.js";
import { Scale, clampView, zoomView, panView, followView, isWhole } from "./view.js";
import { edgeLimits, dragged } from "./edges.js";
import { Layers } from "./layers.js";
import { Listing, summarize } from "./listing.js";
import { Gestures } from "./gestures.js";
import { hostOf } from "./host.js";
import { readInk } from "./paint/ink.js";
import { Pen } from "./paint/pen.js";
import { paintMain, paintUnder } from "./paint/picture.js";

/** @typedef {import("./types.js").StripEvent} StripEvent */
/** @typedef {import("./types.js").View} View */
/** @typedef {import("./boxes.js").Grip} Grip */

export class Strip {
  /**
   * @param {HTMLElement} root an empty element; the strip sets its height
   * @param {{label?: string}} [options] label names the strip for screen readers
   */
  constructor(root, { label = "Strip" } = {}) {
    this.root = root;
    this.label = label;
    this.book = new Book(null);
    /** @type {StripEvent[]} */
    this.events = [];
    /** @type {{start_us: number, end_us: number} | null} */
    this.window = null;
    /** @type {any} */
    this.measures = null;
    this.stale = false;
    /** @type {Set<string>} */
    this.selection = new Set();
    /** @type {import("../shared/frames.js").Frames | null} */
    this.frames = null;
    /** @type {"left" | "right"} */
    this.side = "left";
    /** @type {View} */
    this.clip = { from: 0, to: 1 };
    /** @type {View} */
    this.shown = { from: 0, to: 1 };
    this.now = NaN;
    /** @type {{grip: Grip, limits: [number, number], at: {start_us: number, end_us: number | null}, over: boolean} | null} */
    this.drag = null;
    this.dirty = { ink: true, layout: true, scene: true, main: true, under: true, list: true };
    this.asked = 0;
    this.listTimer = 0;

    root.setAttribute("tabindex", "0");
    root.setAttribute("role", "group");
    root.setAttribute("aria-roledescription", "strip");
    root.setAttribute("aria-label", label);
    this.layers = new Layers(root);
    this.listing = new Listing(root);
    this.ink = readInk(root);
    this.scene = buildScene(this.book, [], this.clip);
    this.derived = derive(null, this.scene);
    this.rows = this.layout();
    this.scale = this.makeScale();

    this.ends = new AbortController();
    const { signal } = this.ends;
    this.gestures = new Gestures(hostOf(this), signal);
    this.sizes = new ResizeObserver(() => this.touch("ink", "layout"));
    this.sizes.observe(root);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.touch("ink", "layout"), { signal });
    window.addEventListener("resize", () => this.touch("ink", "layout"), { signal }); // zooming the page changes the pixel ratio
    this.touch("layout");
  }

  /**
   * @param {{start_us: number, duration_us: number, frames?: import("../shared/frames.js").Frames | null,
   *   side?: "left" | "right" | "", mirrored?: boolean}} clip
   *   duration_us is the end of the last frame; a film with sides exchanged changes
   *   nothing here, as sides are the handler's
   */
  setClip({ start_us, duration_us, frames = null, side = "left" }) {
    const next = { from: start_us, to: Math.max(duration_us, start_us + 1) };
    const whole = isWhole(this.shown, this.clip);
    const same = next.from === this.clip.from && next.to === this.clip.to;
    this.clip = next;
    this.frames = frames;
    this.side = side === "right" ? "right" : "left";
    if (!same) this.setView(whole ? next : this.shown);
    this.touch("layout", "scene");
  }

  /** @param {any} book a codebook as in a reading file */
  setBook(book) {
    this.book = new Book(book);
    this.touch("layout", "scene");
  }

  /**
   * @param {StripEvent[]} events raw events, in any order; not changed
   * @param {{window?: {start_us: number, end_us: number} | null}} [more]
   */
  setEvents(events, { window = this.window } = {}) {
    this.events = events;
    this.window = window;
    if (this.drag?.over) this.drag = null;
    this.touch("scene");
  }

  /**
   * @param {any} measures the measures of a reply (for null, nothing derived is drawn)
   * @param {{stale?: boolean}} [more] stale: the events have changed since; what is derived is dimmed
   */
  setMeasures(measures, { stale = false } = {}) {
    if (measures === this.measures && stale === this.stale) return;
    if (measures !== this.measures) {
      this.measures = measures;
      this.freshScene();
      this.derived = derive(measures, this.scene);
    }
    this.stale = stale;
    this.touch("main");
  }

  /** @param {number} us the time of the frame on the screen */
  setTime(us) {
    const before = this.now;
    this.now = us;
    // Under a finger nothing may move by itself.
    if (!Number.isNaN(before) && this.gestures.mode === "none") {
      const view = followView(this.shown, this.clip, before, us);
      if (view !== this.shown) this.setView(view);
    }
    // The frame of a selected open span ends at the playhead.
    const framed = this.scene.open.some((i) => this.selection.has(i.id));
    this.touch(framed ? "main" : "under");
  }

  /** @param {Iterable<string>} ids */
  setSelection(ids) {
    this.selection = new Set(ids);
    this.touch("main");
  }

  /** What is in view. @returns {{from_us: number, to_us: number}} */
  get view() {
    return { from_us: this.shown.from, to_us: this.shown.to };
  }

  /** @param {number} from_us @param {number} to_us */
  showRange(from_us, to_us) {
    this.setView({ from: from_us, to: to_us });
  }

  /** `factor` times closer, below 1 farther. @param {number} factor @param {number} [at_us] what keeps its place; the playhead if in view, else the middle */
  zoom(factor, at_us) {
    const { from, to } = this.shown;
    const inside = this.now >= from && this.now <= to;
    this.setView(zoomView(this.shown, this.clip, factor, at_us ?? (inside ? this.now : (from + to) / 2)));
  }

  /** Shows the whole clip. */
  fit() {
    this.setView(this.clip);
  }

  /** @param {number} us to later times if positive */
  pan(us) {
    this.setView(panView(this.shown, this.clip, us));
  }

  /** Removes all that the constructor made. */
  destroy() {
    this.ends.abort();
    this.sizes.disconnect();
    cancelAnimationFrame(this.asked);
    clearTimeout(this.listTimer);
    this.root.replaceChildren();
  }

  /** @param {View} view */
  setView(view) {
    const next = clampView(view, this.clip);
    if (next.from === this.shown.from && next.to === this.shown.to) return;
    this.shown = next;
    this.scale = this.makeScale();
    this.touch("main");
    this.send(VIEW, this.view);
  }

  /** @param {string} name @param {object} detail */
  send(name, detail) {
    this.root.dispatchEvent(new CustomEvent(name, { detail, bubbles: true }));
  }

  // From here on: drawing, at most once for each frame of the screen.

  /** @param {("ink" | "layout" | "scene" | "main" | "under")[]} what is out of date */
  touch(...what) {
    for (const w of what) this.dirty[w] = true;
    if (what.some((w) => w !== "under")) this.dirty.main = this.dirty.list = true;
    this.dirty.under = true;
    if (!this.asked) this.asked = requestAnimationFrame(() => this.paint());
  }

  makeScale() {
    return new Scale(this.shown, this.rows.left + 4 * this.rows.scale, this.rows.right - 4 * this.rows.scale);
  }

  layout() {
    const { tracks, open } = this.scene;
    const used = new Set([...tracks.context.items, ...open.filter((i) => trackName(i) === "context")].map((i) => i.lane));
    const context = this.book.lanes.filter((lane) => used.has(lane));
    const signs = ["stress", "offered", "remark"].some((role) => this.book.has(role));
    const width = Math.max(this.root.clientWidth, 200);
    return layoutRows({ width, scale: this.ink.scale, rankMax: this.book.rankMax, side: this.side, signs, context });
  }

  freshScene() {
    if (!this.dirty.scene) return;
    this.dirty.scene = false;
    const { drag } = this;
    const events = drag ? this.events.map((e) => (e.id === drag.grip.item.id ? { ...e, ...drag.at } : e)) : this.events;
    this.scene = buildScene(this.book, events, this.clip);
    if (!this.measures) this.derived = derive(null, this.scene);
    this.dirty.layout = true; // an event may bring a row of its own
  }

  paint() {
    this.asked = 0;
    this.freshScene();
    if (this.dirty.layout) {
      if (this.dirty.ink) this.ink = readInk(this.root);
      this.dirty.ink = this.dirty.layout = false;
      this.rows = this.layout();
      this.layers.resize(this.rows, devicePixelRatio || 1, this.ink.accent);
      this.scale = this.makeScale();
      this.dirty.main = true;
    }
    if (this.dirty.main) {
      paintMain(this.pen(this.layers.main), {
        derived: this.derived, stale: this.stale, helpRank: this.book.helpRank, frames: this.frames, window: this.window,
      });
    }
    if (this.dirty.main || this.scene.open.length > 0) paintUnder(this.pen(this.layers.under), this.book.helpRank);
    const x = this.scale.x(this.now);
    this.layers.moveHead(x >= this.scale.left - 1 && x <= this.scale.right + 1 ? x : NaN);
    this.dirty.main = this.dirty.under = false;
    if (this.dirty.list && !this.listTimer) this.listTimer = setTimeout(() => this.describe(), 400);
  }

  /** @param {HTMLCanvasElement} canvas */
  pen(canvas) {
    const { scale, rows, ink, scene, selection, now, clip } = this;
    return new Pen(this.layers.begin(canvas), { scale, rows, ink, scene, selection, now, clip, dpr: this.layers.dpr });
  }

  describe() {
    this.listTimer = 0;
    this.dirty.list = false;
    this.root.setAttribute("aria-label", summarize(this.label, this.scene, this.clip, this.shown));
    this.listing.fill(this.scene, this.shown);
  }

  /** The drag of an edge as the strip shows it until the reading follows.
   * @param {Grip} taken */
  edgeStart(taken) {
    this.drag = { grip: taken, limits: edgeLimits(taken.item, taken.edge, this.scene.byId.values(), this.clip), at: kept(taken), over: false };
  }

  /** @param {number} us where the edge is wanted */
  edgeMove(us) {
    const { drag } = this;
    if (!drag || drag.over) return;
    const at = dragged(drag.grip.item, drag.grip.edge, us, drag.limits, this.frames);
    if (at.start_us === drag.at.start_us && at.end_us === drag.at.end_us) return;
    drag.at = at;
    this.touch("scene");
    this.sendEdge(drag.grip, at, { done: false });
  }

  /** @param {"done" | "cancelled"} how */
  edgeEnd(how) {
    const { drag } = this;
    if (!drag || drag.over) return;
    const was = kept(drag.grip);
    const moved = drag.at.start_us !== was.start_us || drag.at.end_us !== was.end_us;
    if (how === "cancelled" || !moved) {
      this.drag = null;
      this.touch("scene");
      if (moved) this.sendEdge(drag.grip, was, { done: false, cancelled: true });
      return;
    }
    // What was dragged stays where it is until the reading follows; if it doesn't
    // within two frames, the wish was refused.
    drag.over = true;
    this.sendEdge(drag.grip, drag.at, { done: true });
    requestAnimationFrame(() => requestAnimationFrame(() => {
      if (this.drag !== drag) return;
      this.drag = null;
      this.touch("scene");
    }));
  }

  /** @param {Grip} taken @param {{start_us: number, end_us: number | null}} at @param {{done: boolean, cancelled?: boolean}} how */
  sendEdge({ item, edge }, at, how) {
    this.send(EDGE, { id: item.id, edge, ...at, ...how });
  }
}

/** @param {Grip} taken the times that the event has in the reading */
const kept = ({ item }) => ({ start_us: item.start, end_us: item.open ? null : item.end });
