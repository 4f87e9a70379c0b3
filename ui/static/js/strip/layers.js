// @ts-check
// The strip's elements: a canvas for what is still open, under one for all the
// rest, and the playhead as an element of its own, which moves without a repaint.
import { el } from "../shared/dom.js";

export class Layers {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.under = el("canvas", { "aria-hidden": "true" });
    this.main = el("canvas", { "aria-hidden": "true" });
    this.head = el("div", { "aria-hidden": "true" });
    this.flag = el("div");
    this.head.append(this.flag);
    root.append(this.under, this.main, this.head);
    Object.assign(root.style, { position: "relative", overflow: "hidden", userSelect: "none", touchAction: "pan-y" });
    for (const canvas of [this.under, this.main]) Object.assign(canvas.style, { position: "absolute", left: "0", top: "0", display: "block" });
    Object.assign(this.head.style, { position: "absolute", left: "0", top: "0", pointerEvents: "none", willChange: "transform" });
    Object.assign(this.flag.style, { position: "absolute", clipPath: "polygon(0 0, 100% 0, 50% 100%)" });
    this.dpr = 1;
  }

  /**
   * Sizes the canvases and places the playhead's parts.
   * @param {import("./rows.js").Rows} rows
   * @param {number} dpr
   * @param {string} accent colour of the playhead
   */
  resize(rows, dpr, accent) {
    this.dpr = dpr;
    for (const canvas of [this.under, this.main]) {
      const [w, h] = [Math.round(rows.width * dpr), Math.round(rows.height * dpr)];
      if (canvas.width !== w) canvas.width = w;
      if (canvas.height !== h) canvas.height = h;
      canvas.style.width = `${rows.width}px`;
      canvas.style.height = `${rows.height}px`;
    }
    this.root.style.height = `${rows.height}px`;
    const s = rows.scale;
    Object.assign(this.head.style, { width: "2px", top: `${rows.ticks}px`, height: `${rows.height - rows.ticks}px`, backgroundColor: accent });
    Object.assign(this.flag.style, { left: `${1 - 5 * s}px`, top: "0", width: `${10 * s}px`, height: `${7 * s}px`, backgroundColor: accent });
  }

  /**
   * Moves the playhead; NaN hides it.
   * @param {number} x
   */
  moveHead(x) {
    this.head.style.display = Number.isNaN(x) ? "none" : "block";
    if (!Number.isNaN(x)) this.head.style.transform = `translateX(${Math.round((x - 1) * this.dpr) / this.dpr}px)`;
  }

  /**
   * A cleared context whose unit is a CSS pixel.
   * @param {HTMLCanvasElement} canvas
   */
  begin(canvas) {
    const ctx = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.clearRect(0, 0, canvas.width, canvas.height);
    ctx.setTransform(this.dpr, 0, 0, this.dpr, 0, 0);
    return ctx;
  }
}
