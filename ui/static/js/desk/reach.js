// @ts-check
// How far a clip has been coded. The window of a reading ends at the furthest
// point reached while coding: where something was coded, or what was played or
// stepped through from there without a jump. Looking alone does not widen it.

/** A frame this much after the last one is a jump, µs; below it a step of 1 s. */
const JUMP_US = 1.5e6;
/** Rest after which what was gone through is saved by itself, ms. */
const REST_MS = 1500;

export class Reach {
  /**
   * @param {() => number} end of the window as it is known, µs
   * @param {(us: number) => void} save widens it
   * @param {AbortSignal} signal
   */
  constructor(end, save, signal) {
    this.end = end;
    this.save = save;
    this.through = 0; // gone through without a jump from what was coded
    this.coding = false; // something was coded on this page
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    signal.addEventListener("abort", () => clearTimeout(this.timer));
  }

  /** @param {number} us start of a frame that is on the screen */
  shown(us) {
    this.through = Math.max(this.through, this.end());
    if (us > this.through && us - this.through <= JUMP_US) this.through = us;
  }

  /**
   * Something is coded while a frame is on the screen.
   * @param {number} us
   * @returns {number | undefined} where the window has to end now; undefined where it does already
   */
  coded(us) {
    this.coding = true;
    this.through = Math.max(this.through, us);
    return this.through > this.end() ? this.through : undefined;
  }

  /** @param {boolean} resting whether the film stands still */
  rest(resting) {
    clearTimeout(this.timer);
    if (!resting || !this.coding) return;
    this.timer = setTimeout(() => {
      if (this.through > this.end()) this.save(this.through);
    }, REST_MS);
  }
}
