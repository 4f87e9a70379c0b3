// @ts-check
// What the desk's own keys and buttons do, by the action's name in the table of
// keys.
import { withStart, withEnd, nudged } from "./amend.js";
import { lineOf } from "./describe.js";

/** @typedef {import("./desk.js").Desk} Desk */

/** @type {Record<string, (d: Desk, stamp: number) => void>} */
export const ACTIONS = {
  "right": (d, stamp) => d.coder.right(stamp),

  "play": (d) => {
    if (!d.player.playing && d.player.atEnd) d.say("The clip ends here. Shift End finishes the reading.");
    else d.player.toggle();
  },
  "frame-back": (d) => d.player.step(-1),
  "frame-on": (d) => d.player.step(1),
  "second-back": (d) => d.player.move(-1e6),
  "second-on": (d) => d.player.move(1e6),
  "five-back": (d) => d.player.move(-5e6),
  "five-on": (d) => d.player.move(5e6),
  "faster": (d) => d.player.changeSpeed(1),
  "slower": (d) => d.player.changeSpeed(-1),
  "speed-one": (d) => d.player.setSpeed(1),
  "go": (d) => {
    d.transport.go.focus();
    d.transport.go.select();
  },
  "clip-start": (d) => d.player.goTo(d.player.start_us),
  "clip-end": (d) => d.player.goTo(d.player.duration_us - 1),

  "next-event": (d) => walk(d, 1),
  "last-event": (d) => walk(d, -1),
  "edit": (d) => d.openEditor("edit-code"),
  "note": (d) => d.openEditor("edit-note"),
  "start-here": (d) => one(d, "start at the frame shown", (e) => withStart(d.room(), e, d.player.shown_us)),
  "end-here": (d) => one(d, "end at the frame shown", (e) => withEnd(d.room(), e, d.player.shown_us)),
  "start-earlier": (d) => nudge(d, "start", -1),
  "start-later": (d) => nudge(d, "start", 1),
  "end-earlier": (d) => nudge(d, "end", -1),
  "end-later": (d) => nudge(d, "end", 1),
  "delete": (d) => {
    const chosen = d.selected();
    if (chosen.length === 0) return d.say("Select what to remove first: page ↓ goes through the events.");
    const what = chosen.length === 1 ? lineOf(d.book, chosen[0]) : `${chosen.length} events`;
    d.commit({ put: [], remove: chosen.map((e) => e.id), label: `${what} removed` });
    d.select([]);
    d.say(`${what} removed`);
  },
  "undo": (d) => turn(d, "undo"),
  "redo": (d) => turn(d, "redo"),

  "zoom-in": (d) => d.strip.zoom(1.5, d.player.shown_us),
  "zoom-out": (d) => d.strip.zoom(1 / 1.5, d.player.shown_us),
  "zoom-all": (d) => d.strip.fit(),
  "captions": (d) => d.captions.toggle(),
  "finish": (d) => finish(d),
  "help": (d) => d.help.show(d.book, d.conflicts),
  "escape": (d) => {
    if (d.editing) d.closeEditor();
    else d.select([]);
  },
};

/**
 * To the next event before or after the selected one, or the time shown.
 * @param {Desk} d
 * @param {1 | -1} way
 */
function walk(d, way) {
  const { events } = d.reading;
  const last = d.selected().at(-1);
  const at = last ? events.indexOf(last) : -1;
  const t = d.player.shown_us;
  const next = at >= 0 ? events[at + way]
    : way > 0 ? events.find((e) => e.start_us >= t) : events.findLast((e) => e.start_us <= t);
  if (next) d.goToEvent([next.id], false);
  else d.say(way > 0 ? "There is no event after this." : "There is no event before this.");
}

/**
 * Changes the one selected event.
 * @param {Desk} d
 * @param {string} what
 * @param {(e: import("./types.js").Event) => import("./types.js").Event | string} how
 */
function one(d, what, how) {
  const [e, ...more] = d.selected();
  if (!e || more.length > 0) return d.say("Select one event first.");
  const next = how(e);
  if (typeof next === "string") return d.say(next, true);
  if (next.start_us === e.start_us && next.end_us === e.end_us) return;
  d.commit({ put: [next], remove: [], label: `${d.book.nameOf(e)}, ${what}` });
  d.say(lineOf(d.book, next, 3));
}

/** @param {Desk} d @param {"start" | "end"} edge @param {number} frames */
function nudge(d, edge, frames) {
  one(d, `${edge} a frame ${frames < 0 ? "earlier" : "later"}`, (e) => nudged(d.room(), e, edge, frames, d.player.frames, d.player.frame_us));
  const [e] = d.selected();
  const us = e && (edge === "start" || e.end_us === null ? e.start_us : e.end_us);
  if (us !== undefined) d.player.goTo(us);
}

/** @param {Desk} d @param {"undo" | "redo"} way */
function turn(d, way) {
  const w = d.reading.turn(way);
  if (!w) return d.say(d.reading.waiting.length > 0 ? `More can be ${way === "undo" ? "undone" : "redone"} when the server is back.` : `There is nothing to ${way}.`);
  d.queue.add(w);
  d.select(w.steps.filter((s) => s.after).map((s) => s.id).slice(0, 1));
  d.say(`${way === "undo" ? "Undone" : "Done again"}: ${w.label.slice(`${way} of `.length)}`);
}

/** @param {Desk} d */
function finish(d) {
  const done = d.reading.shown.finished;
  const { start_us } = d.reading.shown.window;
  const set = done ? { finished: false } : { finished: true, window: { start_us, end_us: d.room().duration_us } };
  d.commit({ put: [], remove: [], set, label: done ? "reading taken up again" : "reading finished" });
  d.say(done ? "The reading is open again." : "The reading is finished: it counts from the first frame to the clip's end.");
}
