// @ts-check
// What pointers, wheel and touch ask of the strip. A press on an event selects
// it, a press on an edge of a selected one drags it, a press elsewhere seeks and
// goes on seeking as the mouse moves. A finger moves the strip when zoomed in;
// two zoom it. The wheel moves along, with Ctrl it zooms.

/** Pixels that a pointer may tremble and still click. */
const TREMBLE = 4;
const DOUBLE_MS = 400;

/**
 * What gestures need of the strip. Times in µs; x, y in pixels from its corner.
 * @typedef {object} Host
 * @property {HTMLElement} root
 * @property {(x: number) => number} us
 * @property {(x: number, y: number, slop: number) => string | null} hit id of the event there
 * @property {(x: number, y: number, slop: number) => import("./boxes.js").Grip | null} grip
 * @property {(x: number, y: number) => boolean} onOverview
 * @property {() => boolean} whole whether all of the clip is in view
 * @property {(us: number) => void} seek
 * @property {(ids: string[], add: boolean) => void} select
 * @property {(id: string | null) => void} open zoom to an event, or out to all
 * @property {(pixels: number) => void} pan by pixels of the plot
 * @property {(x: number) => void} overviewTo
 * @property {(factor: number, x: number) => void} zoom
 * @property {(grip: import("./boxes.js").Grip) => void} edgeStart
 * @property {(us: number) => void} edgeMove
 * @property {(how: "done" | "cancelled") => void} edgeEnd
 * @property {(x: number, y: number) => void} hover
 */

/** @typedef {{x: number, y: number}} Point */

export class Gestures {
  /** @param {Host} host @param {AbortSignal} signal ends all listening */
  constructor(host, signal) {
    this.host = host;
    /** @type {"none" | "press" | "seek" | "pan" | "edge" | "overview" | "pinch"} */
    this.mode = "none";
    /** @type {Map<number, Point>} */
    this.pointers = new Map();
    this.start = { x: 0, y: 0 };
    this.lastX = 0;
    this.offset = 0;
    /** @type {string | null} */
    this.pressed = null;
    this.lastClick = { t: -Infinity, x: 0, y: 0 };
    const { root } = host;
    root.addEventListener("pointerdown", (e) => this.down(e), { signal });
    root.addEventListener("pointermove", (e) => this.move(e), { signal });
    root.addEventListener("pointerup", (e) => this.up(e), { signal });
    root.addEventListener("pointercancel", (e) => this.lost(e), { signal });
    root.addEventListener("lostpointercapture", (e) => this.lost(e), { signal });
    root.addEventListener("wheel", (e) => this.wheel(e), { signal, passive: false });
    window.addEventListener("keydown", (e) => this.key(e), { signal, capture: true });
  }

  /** @param {MouseEvent} e @returns {Point} */
  at(e) {
    const box = this.host.root.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  }

  /** @param {PointerEvent} e */
  down(e) {
    if (e.pointerType === "mouse" && e.button !== 0) return;
    const p = this.at(e);
    this.pointers.set(e.pointerId, p);
    capture(this.host.root, e.pointerId);
    if (this.pointers.size === 2) {
      if (this.mode === "edge") this.host.edgeEnd("cancelled");
      this.mode = "pinch";
      return;
    }
    if (this.pointers.size > 2 || this.mode !== "none") return;
    const slop = e.pointerType === "mouse" ? 5 : 14;
    this.start = p;
    this.lastX = p.x;
    const grip = this.host.grip(p.x, p.y, slop + 1);
    this.pressed = this.host.hit(p.x, p.y, slop - 2);
    if (this.host.onOverview(p.x, p.y)) {
      this.mode = "overview";
      this.host.overviewTo(p.x);
    } else if (grip && !e.shiftKey) {
      this.mode = "press";
      this.grip = grip;
      // The edge keeps its distance to the pointer: a press alone moves nothing.
      this.offset = this.host.us(p.x) - (grip.edge === "end" ? grip.item.end : grip.item.start);
    } else {
      this.grip = undefined;
      this.mode = "press";
      if (this.pressed === null && e.pointerType === "mouse") {
        this.mode = "seek";
        this.host.seek(this.host.us(p.x));
      }
    }
  }

  /** @param {PointerEvent} e */
  move(e) {
    const p = this.at(e);
    const before = this.pointers.get(e.pointerId);
    if (!before) {
      if (this.mode === "none") this.host.hover(p.x, p.y);
      return;
    }
    if (this.mode === "pinch") this.pinch(e.pointerId, p);
    this.pointers.set(e.pointerId, p);
    if (this.mode === "press" && Math.hypot(p.x - this.start.x, p.y - this.start.y) > TREMBLE) {
      if (this.grip) {
        this.mode = "edge";
        this.host.edgeStart(this.grip);
      } else if (e.pointerType !== "mouse" && !this.host.whole()) this.mode = "pan";
      else this.mode = "seek";
    }
    if (this.mode === "edge") this.host.edgeMove(this.host.us(p.x) - this.offset);
    else if (this.mode === "seek") this.host.seek(this.host.us(p.x));
    else if (this.mode === "pan") this.host.pan(this.lastX - p.x);
    else if (this.mode === "overview") this.host.overviewTo(p.x);
    this.lastX = p.x;
  }

  /** @param {number} id @param {Point} p */
  pinch(id, p) {
    const old = this.pointers.get(id);
    const other = [...this.pointers].find(([k]) => k !== id)?.[1];
    if (!old || !other) return;
    const was = Math.max(Math.abs(old.x - other.x), 10);
    const is = Math.max(Math.abs(p.x - other.x), 10);
    this.host.pan((old.x - p.x) / 2);
    this.host.zoom(is / was, (p.x + other.x) / 2);
  }

  /** @param {PointerEvent} e */
  up(e) {
    if (!this.pointers.delete(e.pointerId)) return;
    const mode = this.mode;
    if (this.pointers.size > 0) return; // the second finger of a pinch
    this.mode = "none";
    if (mode === "edge") return this.host.edgeEnd("done");
    if (mode === "pinch" || mode === "pan" || mode === "overview") return;
    const p = this.at(e);
    if (Math.hypot(p.x - this.start.x, p.y - this.start.y) > TREMBLE) return;
    const double = e.timeStamp - this.lastClick.t < DOUBLE_MS && Math.hypot(p.x - this.lastClick.x, p.y - this.lastClick.y) < 2 * TREMBLE;
    this.lastClick = { t: double ? -Infinity : e.timeStamp, ...p };
    if (double && !e.shiftKey) this.host.open(this.pressed);
    else if (this.pressed !== null) this.host.select([this.pressed], e.shiftKey);
    else {
      if (mode === "press") this.host.seek(this.host.us(p.x)); // touch seeks on lifting
      if (!e.shiftKey) this.host.select([], false);
    }
  }

  /** @param {PointerEvent} e */
  lost(e) {
    if (!this.pointers.delete(e.pointerId)) return;
    if (this.mode === "edge") this.host.edgeEnd("cancelled");
    if (this.pointers.size === 0) this.mode = "none";
  }

  /** @param {WheelEvent} e */
  wheel(e) {
    const unit = e.deltaMode === 1 ? 16 : e.deltaMode === 2 ? 400 : 1;
    if (e.ctrlKey || e.metaKey) {
      e.preventDefault();
      this.host.zoom(Math.exp((-e.deltaY * unit) / 250), this.at(e).x);
    } else if (!this.host.whole()) {
      e.preventDefault();
      const delta = Math.abs(e.deltaX) > Math.abs(e.deltaY) ? e.deltaX : e.deltaY;
      this.host.pan(delta * unit);
    }
  }

  /** @param {KeyboardEvent} e Escape gives up a drag, and does nothing else then */
  key(e) {
    if (e.key !== "Escape" || (this.mode !== "edge" && this.mode !== "seek")) return;
    e.preventDefault();
    e.stopPropagation();
    if (this.mode === "edge") this.host.edgeEnd("cancelled");
    this.mode = "none";
    this.pointers.clear();
  }
}

/** A pointer that is gone already can't be captured. @param {HTMLElement} root @param {number} id */
function capture(root, id) {
  try {
    root.setPointerCapture(id);
  } catch {
    // Made by a script, or lifted meanwhile.
  }
}
