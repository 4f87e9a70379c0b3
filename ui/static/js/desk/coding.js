// @ts-check
// What a coding key does. Pure: from the events and the time of the press to the
// change that it makes.
//
// A key acts by its code's role and shape:
//   span, break  on and off. Pressed while one runs it ends it, also one whose
//                end was coded already. In an exclusive lane a new one ends what
//                runs there at the same instant.
//   pressure     a moment; within a second of the press before, a tap more of
//                it. The scale's last level is kept, and on the channel of
//                the session's device that device. Held down for longer than a
//                tap it becomes a span that ends when the key is let go, if the
//                code may be one.
//   other        a moment; help, stress signs and remarks may be held down too.
// Besides:
//   cue          for what another exercise of the book is asked by, ends a
//                running stay, place or free exercise
//   did          answers the last cue or halt: `then` starts, a running recall
//                that was asked for is over
//   halt         starts its `then` when it is answered; at once if it asks for
//                nothing
//   release      starts its `then`; without one it ends the running exercise
import { Draft } from "./draft.js";
import { running, startSpan, endSpan, changeExercise, exerciseAt } from "./spans.js";
import { trialAt } from "./trials.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./types.js").Change} Change */
/** @typedef {import("./types.js").Entry} Entry */
/** @typedef {import("./book.js").Book} Book */
/** @typedef {import("./book.js").Code} Code */

/** A second press within this time, its end included, is a tap, µs. */
export const TAP_US = 1e6;

/**
 * What a press is judged by.
 * @typedef {object} Scene
 * @property {Book} book
 * @property {readonly Event[]} events
 * @property {Kept} kept
 * @property {import("./types.js").Device | null} [device] what the session is worked with
 * @property {() => string} newId
 */

/**
 * What the desk remembers beside the events: by channel the level given last,
 * and by code the last press.
 * @typedef {object} Kept
 * @property {Map<string, {level: number, device?: string}>} levels
 * @property {Map<string, {id: string, at: number}>} presses
 */

/** @returns {Kept} */
export const nothingKept = () => ({ levels: new Map(), presses: new Map() });

/**
 * @typedef {object} Outcome
 * @property {Change | null} change null where the press changes nothing
 * @property {string | null} subject id of the event that the press was about
 * @property {Entry | null} entry what digits that follow would fill in
 * @property {string | null} held id of the event that becomes a span if the key is held
 * @property {string} said what happened, for the line of announcements
 */

/**
 * The press of a code's key at t.
 * @param {Scene} scene
 * @param {Code} code
 * @param {number} t µs
 * @returns {Outcome}
 */
export function press(scene, code, t) {
  const { book } = scene;
  const draft = new Draft(scene.events);
  if (code.role === "exercise") return exercise(scene, draft, code, t);
  if (code.shape === "span" || code.role === "break") return toggle(scene, draft, code, t);
  if (code.role === "pressure") return pressure(scene, draft, code, t);
  const open = code.shape === "either" ? running(scene.events, t, (e) => e.code === code.id && e.end_us === null)[0] : undefined;
  if (open) {
    endSpan(draft, open, t);
    return outcome(scene, draft, code, open.id, ended(book, draft, open));
  }
  const same = scene.events.find((e) => e.code === code.id && e.start_us === t && e.end_us === t);
  if (same) return { change: null, subject: same.id, entry: entryFor(code, same.id), held: null, said: `${book.label(code)} stands here already` };
  const id = scene.newId();
  draft.put({ id, code: code.id, start_us: t, end_us: t });
  const more = follow(scene, draft, code, t);
  const done = outcome(scene, draft, code, id, book.label(code) + more);
  if (code.shape === "either") done.held = id;
  return done;
}

/**
 * The dog is right: ends what is newest of being out of position, off-task and
 * broken stays; if nothing of that runs, answers the open trial with did.
 * @param {Scene} scene
 * @param {number} t µs
 * @returns {Outcome}
 */
export function right(scene, t) {
  const { book, events } = scene;
  const wrong = running(events, t, (e) => ["error", "off_task", "break"].includes(book.role(e)))[0];
  if (wrong) {
    const draft = new Draft(events);
    endSpan(draft, wrong, t);
    const code = /** @type {Code} */ (book.code(wrong.code));
    return outcome(scene, draft, code, wrong.id, ended(book, draft, wrong));
  }
  const did = [...book.codes.values()].find((c) => c.role === "answer" && c.result === "did");
  if (did && trialAt(book, events, t).open) return press(scene, did, t);
  return { change: null, subject: null, entry: null, held: null, said: "nothing to put right here" };
}

/** @param {Scene} scene @param {Draft} draft @param {Code} code @param {number} t */
function exercise(scene, draft, code, t) {
  const { book } = scene;
  const now = exerciseAt(scene.events, book, t);
  if (now?.code === code.id) {
    changeExercise(draft, book, null, t, scene.newId);
    return outcome(scene, draft, code, now.id, ended(book, draft, now));
  }
  const e = changeExercise(draft, book, code, t, scene.newId);
  return outcome(scene, draft, code, e?.id ?? null, `${book.label(code)} on`);
}

/** @param {Scene} scene @param {Draft} draft @param {Code} code @param {number} t */
function toggle(scene, draft, code, t) {
  const { book } = scene;
  const on = running(scene.events, t, (e) => e.code === code.id)[0];
  if (on) {
    endSpan(draft, on, t);
    return outcome(scene, draft, code, on.id, ended(book, draft, on));
  }
  const details = code.role === "pressure" ? levelKept(scene, code) : undefined;
  const e = startSpan(draft, book, code, t, scene.newId(), details);
  const done = outcome(scene, draft, code, e.id, `${book.label(code)} on${levelSaid(details)}`);
  if (code.role === "pressure") done.held = e.id;
  return done;
}

/** @param {Scene} scene @param {Draft} draft @param {Code} code @param {number} t */
function pressure(scene, draft, code, t) {
  const { book, kept } = scene;
  const open = running(scene.events, t, (e) => e.code === code.id && e.end_us === null)[0];
  if (open) {
    endSpan(draft, open, t);
    return outcome(scene, draft, code, open.id, ended(book, draft, open));
  }
  const before = tapped(scene, code, t);
  if (before) {
    const taps = (before.details?.taps ?? 1) + 1;
    draft.put({ ...before, details: { ...before.details, taps } });
    kept.presses.set(code.id, { id: before.id, at: t });
    return outcome(scene, draft, code, before.id, `${book.label(code)} ×${taps}`);
  }
  const id = scene.newId();
  const details = { ...levelKept(scene, code), ...(countsTaps(code) && { taps: 1 }) };
  draft.put({ id, code: code.id, start_us: t, end_us: t, ...(Object.keys(details).length > 0 && { details }) });
  kept.presses.set(code.id, { id, at: t });
  const done = outcome(scene, draft, code, id, book.label(code) + levelSaid(details));
  if (code.shape === "either") done.held = id;
  return done;
}

/**
 * The event of a pressure code that a press at t taps once more: the one pressed
 * last if that was within a second, else the one that starts in the second
 * before t.
 * @param {Scene} scene
 * @param {Code} code
 * @param {number} t
 */
function tapped(scene, code, t) {
  const last = scene.kept.presses.get(code.id);
  /** @type {Event | undefined} */
  let found;
  for (const e of scene.events) {
    if (e.code !== code.id || e.start_us > t || e.end_us !== e.start_us) continue;
    const near = t - e.start_us <= TAP_US || (last?.id === e.id && last.at <= t && t - last.at <= TAP_US);
    if (near && (!found || e.start_us >= found.start_us)) found = e;
  }
  return found;
}

/** @param {Code} code whether the book's texts tell how often it was given */
const countsTaps = (code) => Object.values(code.texts ?? {}).some((text) => text.includes("{taps}"));

/**
 * What new pressure starts with: the session's device on its channel, and the level
 * that was given last, unless that was another device's: levels compare only on
 * one.
 * @param {Scene} scene
 * @param {Code} code
 * @returns {Record<string, any> | undefined}
 */
function levelKept({ kept, device }, code) {
  const last = kept.levels.get(code.channel ?? "");
  if (device && !code.device && device.channel === code.channel) {
    return { ...(last?.device === device.device && { level: last.level }), device: device.device };
  }
  if (!last) return undefined;
  return { level: last.level, ...(last.device && { device: last.device }) };
}

/** @param {Record<string, any> | undefined} details */
const levelSaid = (details) => (details?.level === undefined ? "" : ` ${details.level}`);

/**
 * What a moment does to the running exercise.
 * @param {Scene} scene
 * @param {Draft} draft
 * @param {Code} code
 * @param {number} t
 * @returns {string} said of it
 */
function follow(scene, draft, code, t) {
  const { book, events, newId } = scene;
  const then = book.code(code.then ?? "") ?? null;
  const now = exerciseAt(draft.all(), book, t);
  const start = (/** @type {Code | null} */ next) => {
    const e = changeExercise(draft, book, next, t, newId);
    return e && next ? `, ${book.label(next)} on` : "";
  };
  switch (code.role) {
    case "release":
      return start(then);
    case "halt":
      return then && !code.command ? start(then) : "";
    case "cue": {
      const kind = now && book.detail(now, "kind");
      const command = code.command ?? "";
      if (!now || !["stay", "place", "free"].includes(kind)) return "";
      if (command === book.detail(now, "command") || book.noTrial.has(command) || !book.asksFor(command)) return "";
      changeExercise(draft, book, null, t, newId);
      return `, ${book.nameOf(now)} off`;
    }
    case "answer": {
      if (code.result !== "did") return "";
      const asked = trialAt(book, events, t).asked;
      if (!asked) return "";
      const next = book.code(book.code(asked.code)?.then ?? "");
      if (next) return start(next);
      if (now && book.detail(now, "kind") === "recall" && book.detail(now, "command") === asked.command) {
        changeExercise(draft, book, null, t, newId);
        return `, ${book.nameOf(now)} off`;
      }
      return "";
    }
  }
  return "";
}

/**
 * A held key is let go: the moment it made becomes a span, the span it opened
 * ends. Null where that can't be (the event has gone or changed, or no media time
 * has passed).
 * @param {Scene} scene
 * @param {string} id
 * @param {number} t
 * @returns {Outcome | null}
 */
export function letGo(scene, id, t) {
  const e = scene.events.find((x) => x.id === id);
  const code = e && scene.book.code(e.code);
  if (!e || !code || t <= e.start_us || (e.end_us !== null && e.end_us !== e.start_us)) return null;
  const draft = new Draft(scene.events);
  const { taps, ...details } = e.details ?? {};
  draft.put({ ...e, end_us: t, details });
  scene.kept.presses.delete(code.id);
  return outcome(scene, draft, code, id, `${scene.book.label(code)} off`);
}

/**
 * What to say of a span that was ended: one without length is gone.
 * @param {Book} book
 * @param {Draft} draft
 * @param {Event} e
 */
const ended = (book, draft, e) => (draft.get(e.id) ? `${book.nameOf(e)} off` : `${book.nameOf(e)} removed: it ended where it began`);

/**
 * @param {Scene} scene
 * @param {Draft} draft
 * @param {Code} code
 * @param {string | null} id
 * @param {string} said
 * @returns {Outcome}
 */
function outcome(scene, draft, code, id, said) {
  const there = id !== null && draft.get(id) !== null;
  return { change: draft.change(said), subject: there ? id : null, entry: there ? entryFor(code, /** @type {string} */ (id)) : null, held: null, said };
}

/** @param {Code} code @param {string} id @returns {Entry | null} */
export function entryFor(code, id) {
  if (code.role === "pressure") return { id, kind: "level", typed: "" };
  return code.picks?.length ? { id, kind: "pick", typed: "" } : null;
}
