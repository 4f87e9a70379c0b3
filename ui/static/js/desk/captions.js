// @ts-check
// The coder's caption track over the picture. The server makes it; after edits it
// is fetched again, though not for each.
import { el } from "../shared/dom.js";

const KEPT = "afterwalk-captions";
/** Rest after the last change before the track is fetched, ms. */
const REST = 700;

export class Captions {
  /**
   * @param {HTMLVideoElement} video
   * @param {string} url of the WebVTT track
   * @param {(on: boolean) => void} told
   * @param {AbortSignal} signal
   */
  constructor(video, url, told, signal) {
    this.video = video;
    this.url = url;
    this.told = told;
    this.revision = -1;
    this.loaded = -1;
    /** @type {HTMLTrackElement | null} */
    this.track = null;
    /** @type {ReturnType<typeof setTimeout> | 0} */
    this.timer = 0;
    this.on = read() === "on";
    signal.addEventListener("abort", () => clearTimeout(this.timer || undefined));
    told(this.on);
  }

  toggle() {
    this.on = !this.on;
    try {
      localStorage.setItem(KEPT, this.on ? "on" : "off");
    } catch {
      // then it is off again next time
    }
    this.told(this.on);
    this.fetch();
  }

  /** @param {number} revision of the reading, acknowledged */
  update(revision) {
    if (revision === this.revision) return;
    this.revision = revision;
    clearTimeout(this.timer || undefined);
    this.timer = setTimeout(() => this.fetch(), this.loaded < 0 ? 0 : REST);
  }

  fetch() {
    if (!this.on) {
      if (this.track) this.track.track.mode = "hidden";
      return;
    }
    if (this.loaded !== this.revision) {
      this.loaded = this.revision;
      const next = el("track", { kind: "captions", label: "what was coded", srclang: "en", src: `${this.url}?track=coder&revision=${this.revision}` });
      this.track?.remove();
      this.track = next;
      this.video.append(next);
    }
    if (this.track) this.track.track.mode = "showing";
  }
}

function read() {
  try {
    return localStorage.getItem(KEPT);
  } catch {
    return null;
  }
}
