// @ts-check
// The row under the picture: time, frame and speed of what is shown, and buttons
// for what the keys of time do.
import { el, setText } from "../shared/dom.js";
import { timeLabel } from "../shared/time.js";
import { SPEEDS } from "./player.js";
import { capOf } from "./keytable.js";

const BUTTONS = [
  { action: "five-back", text: "−5", label: "5 s back" },
  { action: "second-back", text: "−1", label: "1 s back" },
  { action: "frame-back", text: "‹", label: "A frame back" },
  { action: "play", text: "▶", label: "Play" },
  { action: "frame-on", text: "›", label: "A frame on" },
  { action: "second-on", text: "+1", label: "1 s on" },
  { action: "five-on", text: "+5", label: "5 s on" },
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
    const buttons = BUTTONS.map(({ action, text, label }) =>
      el("button", { type: "button", class: `transport-${action}`, title: `${label} (${capOf(action)})`, "aria-label": label, onclick: () => act(action), onmousedown: keepFocus }, text));
    this.play = buttons[3];
    this.speed = el("select", { "aria-label": "Speed", title: `Speed (${capOf("slower")} ${capOf("faster")})`, id: "speed", onchange: () => {
      player.setSpeed(Number(this.speed.value));
      this.speed.blur(); // so that the keys code again
    } }, ...SPEEDS.map((s) => el("option", { value: s }, `${s}×`)));
    this.go = el("input", { type: "text", class: "go", id: "go", "aria-label": "Go to a time, or with # a frame", title: `Go to (${capOf("go")})`, placeholder: "0:35.6 or #1068", autocomplete: "off" });
    // The field lies over the time and is seen while somebody types into it.
    root.append(el("span", { class: "clock" }, this.time, this.go), this.frame, el("div", { class: "buttons", role: "group", "aria-label": "Move through time" }, ...buttons), this.speed);
    this.update();
    this.state();
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
    setText(this.play, playing ? "❚❚" : "▶");
    this.play.setAttribute("aria-label", playing ? "Pause" : "Play");
    this.speed.value = String(speed);
  }
}

/**
 * A button pressed with the mouse leaves the focus where it was, so that Space
 * plays and does not press it again.
 * @param {MouseEvent} e
 */
export function keepFocus(e) {
  e.preventDefault();
}
