// @ts-check
// The line under the picture, to be read as a sentence: what is shown, and the
// few words by which a hand without keys moves through time. The strip is the way
// to far times.
import { el, setText } from "../shared/dom.js";
import { timeLabel } from "../shared/time.js";
import { SPEEDS } from "./player.js";
import { capOf } from "./keytable.js";

/** How far “earlier” and “later” go: the words, and the actions of the keys. */
const STEPS = [
  { text: "a frame", earlier: "frame-back", later: "frame-on" },
  { text: "1 s", earlier: "second-back", later: "second-on" },
  { text: "5 s", earlier: "five-back", later: "five-on" },
];

export class Transport {
  /**
   * @param {HTMLElement} root
   * @param {import("./player.js").Player} player
   * @param {(action: string) => void} act
   */
  constructor(root, player, act) {
    this.player = player;
    this.time = el("output", { class: "time", "aria-live": "off", id: "time" }, "0:00.000");
    this.frame = el("output", { class: "frame", "aria-live": "off", id: "frame" });
    this.go = el("input", { type: "text", class: "go", id: "go", "aria-label": "Go to a time, or with # a frame", title: `Go to (${capOf("go")})`, placeholder: "0:35.6 or #1068", autocomplete: "off" });
    const word = (/** @type {string} */ id, /** @type {string} */ text, /** @type {() => void} */ onclick) =>
      el("button", { type: "button", class: "word", id, onclick, onmousedown: keepFocus }, text);
    this.play = word("play", "play", () => act("play"));
    this.speed = choice("speed", "Speed", SPEEDS.map((v) => ({ value: String(v), text: `${v}×` })), (v) => player.setSpeed(Number(v)));
    this.speed.title = `Speed (${capOf("slower")} ${capOf("faster")})`;
    const step = (/** @type {"earlier" | "later"} */ way) => word(way, way, () => act(STEPS[Number(this.by.value)][way]));
    this.earlier = step("earlier");
    this.later = step("later");
    this.by = choice("by", "How far earlier and later go", STEPS.map((s, i) => ({ value: String(i), text: s.text })), () => this.titles());
    // The field lies over the time and is seen while somebody types into it.
    root.append(el("span", { class: "clock" }, this.time, this.go), this.frame,
      el("span", { class: "words", role: "group", "aria-label": "Move through time" },
        this.play, el("span", { class: "between" }, "at"), this.speed,
        this.earlier, el("span", { class: "between" }, "or"), this.later, el("span", { class: "between" }, "by"), this.by));
    this.titles();
    this.update();
    this.state();
  }

  /** Says the keys of what the words do now. */
  titles() {
    const { earlier, later } = STEPS[Number(this.by.value)];
    this.earlier.title = capOf(earlier);
    this.later.title = capOf(later);
    this.play.title = capOf("play");
  }

  /** Another frame is shown. */
  update() {
    setText(this.time, timeLabel(this.player.shown_us));
    const k = this.player.frame;
    setText(this.frame, k < 0 ? "frame –" : `frame ${k}`);
  }

  /** Playing or not, and how fast. */
  state() {
    const { playing, speed } = this.player;
    setText(this.play, playing ? "pause" : "play");
    this.speed.value = String(speed);
  }
}

/**
 * A choice in a sentence. It gives the focus back, so that the keys code again.
 * @param {string} id
 * @param {string} label
 * @param {{value: string, text: string}[]} options
 * @param {(value: string) => void} chosen
 */
function choice(id, label, options, chosen) {
  const select = el("select", { id, class: "word", "aria-label": label, onchange: () => {
    chosen(select.value);
    select.blur();
  } }, ...options.map((o) => el("option", { value: o.value }, o.text)));
  return select;
}

/**
 * A button pressed with the mouse leaves the focus where it was, so that Space
 * plays and does not press it again.
 * @param {MouseEvent} e
 */
export function keepFocus(e) {
  e.preventDefault();
}
