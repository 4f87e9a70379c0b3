// @ts-check
// The clip's picture. The video element is the only truth about time: the frame
// on the screen is the one that the last frame callback's mediaTime names, never
// one worked out from currentTime. Media time is µs from the file's own zero.
import { count, frameAt, nearestFrame, midpoint } from "../shared/frames.js";

/** @typedef {import("../shared/frames.js").Frames} Frames */

/** Names of the events that a player sends. */
export const SHOWN = "shown"; // another frame is on the screen
export const STATE = "state"; // playing, pausing, speed, a seek's end
export const PROBLEM = "problem"; // problem has changed

/** The speeds that can be chosen. */
export const SPEEDS = [0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4];

/** What to do about a film that can't be shown. */
const REMEDY = "Nothing is lost. The page of its session offers to make a copy that plays.";

/** How long after its end a seek waits for a frame that may not come, ms. */
const FRAME_WAIT = 150;
/** How many shown frames are remembered for the time of a press. */
const REMEMBERED = 32;

/** @typedef {{frame: number} | {us: number}} Target */

export class Player extends EventTarget {
  /**
   * @param {HTMLVideoElement} video
   * @param {AbortSignal} signal
   */
  constructor(video, signal) {
    super();
    this.video = video;
    this.signal = signal;
    /** @type {Frames | null} */
    this.frames = null;
    this.start_us = 0;
    this.duration_us = 0;
    this.frame_us = 1e6 / 30;
    /** µs that the frame on the screen starts at, as its mediaTime said; -1 before there is one */
    this.media_us = -1;
    /** @type {{us: number, at: number}[]} frames shown, with the time they went to the screen */
    this.history = [];
    this.problem = "";
    /** @type {Target | null} newest wish, while a seek is running */
    this.wish = null;
    /** @type {Target | null} what is being sought */
    this.seeking = null;
    /** @type {Target | null} what a seek was given up for whose frame has not been on the screen yet */
    this.late = null;
    this.framesSeen = 0;
    this.framesBefore = 0; // seen before the newest seek began
    /** @type {(() => void) | null} */
    this.onFrame = null;
    const on = (/** @type {string} */ name, /** @type {() => void} */ fn) => video.addEventListener(name, fn, { signal });
    for (const name of ["play", "ended", "ratechange"]) on(name, () => this.tell(STATE));
    on("play", () => (this.late = null));
    on("pause", () => this.settle());
    on("loadeddata", () => this.check());
    on("resize", () => this.check());
    on("error", () => this.check());
    this.watch();
  }

  /** @param {string} name */
  tell(name) {
    this.dispatchEvent(new Event(name));
  }

  /**
   * @param {{media: string, start_us: number, duration_us: number, frame_rate: number}} clip
   */
  load(clip) {
    this.start_us = clip.start_us;
    this.duration_us = clip.duration_us;
    if (clip.frame_rate > 0) this.frame_us = 1e6 / clip.frame_rate;
    this.video.src = clip.media;
  }

  /** @param {Frames} frames the table; its end is the clip's duration */
  setFrames(frames) {
    this.frames = frames;
    if (count(frames) > 0) {
      this.start_us = Math.round(frames[0]);
      this.duration_us = Math.round(frames[count(frames)]);
    }
    this.tell(SHOWN);
  }

  // What is on the screen.

  /** Frame on the screen; -1 without a table or picture. */
  get frame() {
    return this.media_us < 0 ? -1 : nearestFrame(this.frames, this.media_us);
  }

  /** Start of the frame on the screen, whole µs. */
  get shown_us() {
    return this.startOf(this.media_us);
  }

  /** @param {number} mediaUs */
  startOf(mediaUs) {
    if (mediaUs < 0) return this.start_us;
    const k = nearestFrame(this.frames, mediaUs);
    return this.frames && k >= 0 ? Math.round(this.frames[k]) : Math.round(mediaUs);
  }

  /**
   * Start of the frame that was on the screen at a time of performance.now():
   * what somebody saw who pressed a key then, however late it is handled.
   * @param {number} stamp ms
   */
  timeAt(stamp) {
    for (let i = this.history.length - 1; i >= 0; i--) if (this.history[i].at <= stamp) return this.startOf(this.history[i].us);
    return this.shown_us;
  }

  get playing() {
    return !this.video.paused && !this.video.ended;
  }

  get speed() {
    return this.video.playbackRate;
  }

  /**
   * What was asked for and is not on the screen yet: the newest wish first. Steps
   * count from it, never from the frame that it is about to replace.
   * @returns {Target | null}
   */
  get aim() {
    return this.wish ?? this.seeking ?? this.late;
  }

  /** Where steps go on from: the newest wish, else what is shown. */
  get from_us() {
    const t = this.aim;
    if (!t) return this.shown_us;
    return "us" in t ? t.us : this.frames ? this.frames[t.frame] : this.shown_us;
  }

  // What can be asked of it.

  toggle() {
    if (this.playing) this.pause();
    else if (!this.atEnd) this.play();
  }

  /** Whether there is nothing left to play. */
  get atEnd() {
    return this.video.ended || (this.frames !== null && this.frame === count(this.frames) - 1);
  }

  play() {
    this.video.play().catch(() => this.tell(STATE)); // paused again at once, or no film: the state says so
  }

  pause() {
    this.video.pause();
    this.settle();
  }

  /**
   * When the film has stopped, one more frame may be on the screen than the last
   * callback named. Going to the named one makes both the same.
   */
  settle() {
    if (!this.aim && this.media_us >= 0) this.seek(this.frames ? { frame: this.frame } : { us: this.shown_us });
    this.tell(STATE);
  }

  /** @param {number} rate */
  setSpeed(rate) {
    this.video.playbackRate = rate;
    this.video.defaultPlaybackRate = rate; // a new source would fall back to it
  }

  /** @param {1 | -1} way to the next speed up or down */
  changeSpeed(way) {
    const faster = SPEEDS.find((s) => s > this.speed + 1e-9);
    const slower = SPEEDS.findLast((s) => s < this.speed - 1e-9);
    const next = way > 0 ? faster : slower;
    if (next) this.setSpeed(next);
  }

  /** @param {number} n frames on, negative for back; pauses */
  step(n) {
    this.video.pause();
    const total = count(this.frames);
    if (!this.frames || total === 0) {
      this.seek({ us: this.from_us + n * this.frame_us });
      return;
    }
    const t = this.aim;
    const from = !t ? Math.max(0, this.frame) : "frame" in t ? t.frame : frameAt(this.frames, t.us + 0.5);
    this.seek({ frame: Math.min(Math.max(from + n, 0), total - 1) });
  }

  /** @param {number} us by how much, negative for back */
  move(us) {
    this.goTo(this.from_us + us);
  }

  /** @param {number} us to the frame that is on the screen then */
  goTo(us) {
    const k = frameAt(this.frames, us + 0.5); // an event's whole µs may lie a hair before its frame
    this.seek(k >= 0 ? { frame: k } : { us });
  }

  /** @param {number} k */
  goToFrame(k) {
    const total = count(this.frames);
    this.seek(total > 0 ? { frame: Math.min(Math.max(k, 0), total - 1) } : { us: this.start_us + k * this.frame_us });
  }

  // How a seek goes.

  /** @param {Target} target */
  seek(target) {
    if (this.video.readyState === 0) {
      // Before the first metadata the element would forget it.
      this.video.addEventListener("loadedmetadata", () => this.seek(target), { once: true, signal: this.signal });
      return;
    }
    this.wish = target;
    if (!this.seeking) this.nextSeek();
  }

  async nextSeek() {
    while (this.wish && this.video.readyState > 0) {
      const target = this.wish;
      this.wish = this.late = null;
      this.seeking = target;
      this.framesBefore = this.framesSeen;
      await this.seekOnce(target);
      // Where the length was first known too small, the first try falls short.
      if (!this.wish && !this.playing && "frame" in target && !this.arrived(target)) await this.seekOnce(target);
      // A slow machine shows the frame later than a seek can wait for it.
      if (!this.playing && !this.arrived(target)) this.late = target;
    }
    this.seeking = null;
    this.tell(STATE);
  }

  /** @param {Target} target */
  seekOnce(target) {
    return new Promise((/** @type {(v?: unknown) => void} */ done) => {
      let sought = false;
      /** @type {ReturnType<typeof setTimeout> | undefined} */
      let timer;
      const stop = new AbortController();
      const finish = () => {
        clearTimeout(timer);
        stop.abort();
        this.onFrame = null;
        done();
      };
      const look = () => {
        if (sought && this.arrived(target)) finish();
      };
      // The frame callback is registered at all times, so also before the seek.
      this.onFrame = look;
      const signal = AbortSignal.any([stop.signal, this.signal]);
      this.video.addEventListener("seeked", () => {
        sought = true;
        timer = setTimeout(finish, FRAME_WAIT);
        look();
      }, { signal });
      for (const name of ["error", "emptied"]) this.video.addEventListener(name, finish, { signal });
      this.video.currentTime = this.secondsOf(target);
    });
  }

  /**
   * Whether a target's frame is on the screen: without a table, whether a frame is
   * that lasts, going by the frame rate, over the point that was sought. A clip's
   * start may lie before its first frame, where its sound begins earlier.
   * @param {Target} target the one that is sought, or was last
   */
  arrived(target) {
    if ("frame" in target && this.frames) return this.frame === target.frame;
    const over = this.secondsOf(target) * 1e6 - this.media_us;
    if (this.media_us < 0) return false;
    if ("us" in target && target.us <= this.start_us && (this.framesSeen > this.framesBefore || this.framesSeen === 1)) return true;
    return over > -1 && over < this.frame_us;
  }

  /** @param {Target} target where to send the element, s */
  secondsOf(target) {
    if ("frame" in target && this.frames) return midpoint(this.frames, target.frame) / 1e6;
    const us = "us" in target ? target.us : this.start_us;
    const most = Math.max(this.start_us, this.duration_us - this.frame_us / 2);
    return Math.min(Math.max(us + this.frame_us / 2, this.start_us), most) / 1e6;
  }

  /** Notes every frame that goes to the screen. */
  watch() {
    this.video.requestVideoFrameCallback((now, meta) => {
      if (this.signal.aborted) return;
      this.framesSeen++;
      this.media_us = meta.mediaTime * 1e6;
      this.history.push({ us: this.media_us, at: Math.min(meta.expectedDisplayTime, now) });
      if (this.history.length > REMEMBERED) this.history.shift();
      this.watch();
      if (this.late && this.arrived(this.late)) this.late = null;
      this.onFrame?.();
      this.tell(SHOWN);
    });
  }

  /** Finds out what is wrong with the film, if anything is. */
  async check() {
    const { error, videoWidth, readyState } = this.video;
    if (videoWidth > 0 && !error) this.tellProblem("");
    else if (error?.code === 4) this.tellProblem(await this.refusal() || `This film needs a proxy: the browser can't play it. ${REMEDY}`);
    else if (error) this.tellProblem("The film stopped: it could not be read any further. It goes on when the server answers again; if not, reload the page.");
    else if (readyState >= 2) this.tellProblem(`This film needs a proxy: the browser plays only its sound. ${REMEDY}`);
  }

  /** What the server says where it does not hand the film out; "" where it does. */
  async refusal() {
    try {
      const reply = await fetch(this.video.src, { headers: { Range: "bytes=0-0" }, signal: this.signal });
      return reply.ok ? "" : (await reply.text()).trim();
    } catch {
      return "The film can't be read: the server does not answer.";
    }
  }

  /** @param {string} problem */
  tellProblem(problem) {
    if (problem === this.problem) return;
    this.problem = problem;
    this.tell(PROBLEM);
  }

  /** Tries a film again that stopped with an error, at the frame it stood on. */
  again() {
    if (!this.video.error) return;
    const us = this.shown_us;
    this.wish = this.seeking = this.late = null;
    this.video.load();
    this.goTo(us);
  }
}
