// @ts-check
// The desk: puts its parts together. State lies in the reading, the player and
// the few fields below; parts are told to draw it, and ask for changes.
import { pageData, setText } from "../shared/dom.js";
import { parseTime } from "../shared/time.js";
import { Strip } from "../strip/strip.js";
import { Player, SHOWN, STATE, PROBLEM } from "./player.js";
import { fetchFrames } from "./frametable.js";
import { Book } from "./book.js";
import { Reading } from "./reading.js";
import { Shelf } from "./shelf.js";
import { Queue } from "./queue.js";
import { Coder } from "./coder.js";
import { Keys } from "./keys.js";
import { bind, learnLayout } from "./keytable.js";
import { ACTIONS } from "./actions.js";
import { Transport } from "./transport.js";
import { NowLine } from "./nowline.js";
import { Numbers } from "./numbers.js";
import { KeyMap } from "./keymap.js";
import { EventList } from "./eventlist.js";
import { Editor } from "./editor.js";
import { Saving } from "./saving.js";
import { Captions } from "./captions.js";
import { Help } from "./help.js";
import { ClashDialog } from "./clashdialog.js";
import { Notices } from "./notices.js";
import { stripEvents } from "./stripevents.js";
import { Tools } from "./tools.js";
import { Reach } from "./reach.js";
import { KeepUp } from "./keepup.js";
import { uuid7 } from "./uuid.js";

/** @typedef {import("./types.js").Event} Event */
/** @typedef {import("./types.js").Change} Change */

/** @param {string} id @returns {any} an element of the page's template */
const part = (id) => document.getElementById(id);

export class Desk {
  /** @param {{reading: string, library: string}} page */
  constructor(page) {
    this.id = page.reading;
    this.api = `/api/readings/${encodeURIComponent(page.reading)}`;
    this.ends = new AbortController();
    const { signal } = this.ends;
    this.reading = new Reading();
    this.book = new Book(null);
    /** @type {string[]} */
    this.conflicts = [];
    this.bookText = "";
    /** @type {any} the clip as the server describes it */
    this.clip = null;
    /** @type {Set<string>} */
    this.selection = new Set();
    this.editing = false;
    this.reach = new Reach(() => this.reading.shown.window.end_us, (us) => this.queue.add(this.reading.edit({ put: [], remove: [], label: "" }, Math.min(us, this.room().duration_us))), signal);
    this.asked = { time: false, all: false };
    /** @type {{events: readonly Event[], end_us: number, chosen: string}} what is drawn */
    this.drawn = { events: [], end_us: -1, chosen: "" };
    const act = (/** @type {string} */ action, stamp = performance.now()) => ACTIONS[action]?.(this, stamp);

    this.player = new Player(part("video"), signal);
    this.coder = new Coder({
      book: () => this.book, events: () => this.reading.events, device: () => this.clip?.session?.device ?? null, blind: () => this.clip?.needs_proxy ? "There is no picture to code by yet. The copy that plays here shows it." : "",
      timeAt: (stamp) => this.player.timeAt(stamp),
      commit: (change) => this.commit(change), say: (text) => this.say(text), coded: (id) => this.coded(id), entered: () => this.ask("time"),
    });
    this.shelf = new Shelf(page.library, page.reading, uuid7());
    this.queue = new Queue(`${this.api}/edits`, this.reading, this.shelf, {
      changed: () => this.ask("all"),
      refused: (out, error) => this.notices.refused(out, error),
      clash: (clash) => this.clashes.show(clash, this.book),
      stale: () => this.keepUp.refetch(),
    }, signal);
    this.keepUp = new KeepUp(this.api, page.reading, this.reading, {
      take: (answer) => this.take(answer), trouble: (text) => this.notices.load(text), job: (job) => this.job(job),
      back: () => {
        this.queue.now();
        this.player.again();
      },
    }, signal);
    this.notices = new Notices(part("notices"), part("said"));
    this.transport = new Transport(part("transport"), this.player, act);
    this.nowLine = new NowLine(part("now"));
    this.numbers = new Numbers(part("numbers"));
    this.keyMap = new KeyMap(part("keys"), {
      code: (code, stamp, by) => this.coder.press(code, stamp, by), release: (by, stamp, held) => this.coder.release(by, stamp, held), right: (stamp) => this.coder.right(stamp),
    }, signal);
    this.list = new EventList(part("events"), { select: (ids, add) => this.goToEvent(ids, add), edit: () => this.openEditor("edit-code") }, signal);
    this.editor = new Editor(part("editor"), {
      change: (e, label) => this.change(e, label), remove: () => act("delete"), close: () => this.closeEditor(), act,
      refused: (message) => { this.say(message, true); this.ask("all"); }, room: () => this.room(), timeOfFrame: (k) => this.timeOfFrame(k),
    });
    this.saving = new Saving(part("saving"));
    this.captions = new Captions(part("video"), `${this.api}/captions.vtt`, (on) => part("captions").setAttribute("aria-pressed", String(on)), signal);
    this.tools = new Tools(act);
    this.clashes = new ClashDialog(part("clash"), (mine) => this.queue.resolve(mine));
    this.strip = new Strip(part("strip"), { label: "Strip of the reading" });
    stripEvents(this, part("strip"), signal);
    this.keys = new Keys({
      act, code: (code, stamp, by) => this.coder.press(code, stamp, by), release: (by, stamp, held) => this.coder.release(by, stamp, held),
      digit: (digit) => this.coder.digit(digit), erase: () => this.coder.erase(), other: () => this.coder.close(),
    }, signal);
    this.help = new Help(part("help"), (on) => {
      this.keys.on = on;
      this.notices.letters(on);
    });
    this.listen(signal);
  }

  /** @param {AbortSignal} signal */
  listen(signal) {
    this.player.addEventListener(SHOWN, () => {
      this.reach.shown(this.player.shown_us);
      this.ask("time");
    }, { signal });
    this.player.addEventListener(STATE, () => this.playState(), { signal });
    this.player.addEventListener(PROBLEM, () => this.notices.film(this.player.problem || this.clip?.needs_proxy || ""), { signal });
    const { go } = this.transport;
    go.addEventListener("keydown", (e) => {
      if (e.key === "Escape") go.blur();
      if (e.key !== "Enter") return;
      const t = parseTime(go.value);
      if (!t) return this.say("A time is written like 0:35.604 or 35.6, a frame like #1068.", true);
      if ("us" in t) this.player.goTo(t.us);
      else this.player.goToFrame(t.frame);
      go.value = "";
      go.blur();
    }, { signal });
    part("editor").addEventListener("keydown", (/** @type {KeyboardEvent} */ e) => {
      if (e.key !== "Escape") return;
      e.preventDefault(); // or the desk's own Escape would take the selection away as well
      this.closeEditor();
    }, { signal });
  }

  /** Asks for the reading until it is there, then starts. */
  async start() {
    const { signal } = this.ends;
    await this.keepUp.start();
    this.player.load(this.clip);
    this.player.goTo(addressed() ?? this.player.start_us);
    addEventListener("hashchange", () => {
      const us = addressed();
      if (us !== null) this.player.goTo(us);
    }, { signal });
    this.table = fetchFrames(this.clip.frames, {
      got: (frames) => {
        this.player.setFrames(frames);
        this.notices.frames("");
        this.stripClip();
      },
      waits: (message) => this.notices.frames(message),
      failed: (message) => this.notices.frames(message),
    }, signal);
    this.shelf.adopt((edits) => this.queue.adopt(edits), signal);
    this.notices.elsewhere(this.shelf.elsewhere());
    if (await learnLayout()) this.keyMap.draw(this.book);
    this.ask("all");
  }

  /** @param {import("../pages/job.js").Job} job that has changed */
  job(job) {
    if (job.clip !== this.clip?.id) return;
    // A film is taken up by its element once: with the copy that plays, all begins anew. What waits to be sent is kept.
    if (job.kind === "proxy" && job.state === "done" && this.clip.needs_proxy) location.reload();
    else this.table?.again();
  }

  /** @param {any} answer of GET /api/readings/{id} */
  take(answer) {
    this.clip = answer.clip;
    this.duration_us = answer.reading.clip.duration_us;
    this.side = answer.reading.side || answer.clip.dog.side || "left";
    const text = JSON.stringify([answer.reading.codebook, this.side]);
    if (text !== this.bookText) {
      this.bookText = text;
      this.book = new Book(answer.reading.codebook, this.side);
      const bound = bind(this.book);
      this.keys.table = bound.keys;
      this.conflicts = bound.conflicts;
      this.keyMap.draw(this.book);
      this.notices.keys(bound.conflicts);
      this.strip.setBook(answer.reading.codebook);
    }
    this.reading.load(answer);
    this.coder.recall();
    this.stripClip();
    this.ask("all");
  }

  // Changes.

  /** @param {Change & {set?: import("./types.js").Facts}} change */
  commit(change) {
    const us = this.reach.coded(this.player.shown_us);
    this.queue.add(this.reading.edit(change, us === undefined ? undefined : Math.min(us, this.room().duration_us)));
  }

  /** @param {Event} e @param {string} label */
  change(e, label) {
    this.coder.note(e);
    const was = this.reading.get(e.id);
    this.commit({ put: [e], remove: [], label });
    this.say(label);
    // The film goes along with a time that was changed.
    if (was && was.start_us !== e.start_us) this.player.goTo(e.start_us);
    else if (was && e.end_us !== null && was.end_us !== e.end_us) this.player.goTo(Math.min(e.end_us, this.room().duration_us - 1));
  }

  /** @returns {import("./amend.js").Room} */
  room() {
    return { book: this.book, events: this.reading.events, duration_us: this.duration_us ?? 0 };
  }

  /** @param {number} k */
  timeOfFrame(k) {
    const { frames, start_us, frame_us } = this.player;
    return Math.round(frames ? frames[Math.min(k, frames.length - 1)] : start_us + k * frame_us);
  }

  // Selecting.

  selected() {
    return [...this.selection].map((id) => this.reading.get(id)).filter((e) => e !== null);
  }

  /** @param {string[]} ids @param {boolean} [add] */
  select(ids, add = false) {
    const next = new Set(add ? this.selection : []);
    for (const id of ids) {
      if (add && next.has(id)) next.delete(id);
      else next.add(id);
    }
    this.selection = next;
    this.ask("all");
  }

  /** @param {string[]} ids @param {boolean} add */
  goToEvent(ids, add) {
    this.select(ids, add);
    const e = this.reading.get(ids[0]);
    if (e) this.player.goTo(e.start_us);
  }

  /** @param {string | null} id */
  coded(id) {
    if (this.editing) this.closeEditor();
    this.select(id ? [id] : []);
  }

  /** @param {string} field */
  openEditor(field) {
    if (this.selected().length === 0) return this.say("Select an event first: page ↓ goes through them.");
    this.editing = true;
    this.draw();
    this.editor.focus(field);
  }

  closeEditor() {
    this.editing = false;
    if (part("editor").contains(document.activeElement)) /** @type {HTMLElement} */ (document.activeElement).blur();
    this.ask("all");
  }

  // Drawing.

  /** @param {string} text @param {boolean} [wrong] */
  say(text, wrong = false) {
    this.notices.say(text, wrong);
  }

  /** @param {"time" | "all"} what draws it before the next repaint */
  ask(what) {
    if (!this.asked.time && !this.asked.all) requestAnimationFrame(() => this.drawAsked());
    this.asked[what] = true;
  }

  drawAsked() {
    const { all } = this.asked;
    this.asked = { time: false, all: false };
    if (all) this.draw();
    else this.drawTime();
  }

  drawTime() {
    const t = this.player.shown_us;
    const scene = this.coder.scene();
    this.transport.update();
    this.nowLine.update(scene, t, this.coder.entry);
    this.keyMap.update(scene, t);
    this.strip.setTime(t);
    this.list.setTime(t);
  }

  draw() {
    const { reading, queue, book } = this;
    for (const id of this.selection) if (!reading.get(id)) this.selection.delete(id);
    const stale = reading.waiting.length > 0;
    const { window } = reading.shown;
    if (!this.clip) return this.drawTime(); // nothing is known yet, so nothing is said
    if (this.drawn.events !== reading.events || this.drawn.end_us !== window.end_us) {
      this.list.setEvents(reading.events, book);
      this.strip.setEvents(/** @type {any} */ (reading.events), { window });
    }
    const chosen = [...this.selection].join();
    if (chosen !== this.drawn.chosen) {
      this.list.setSelection(this.selection);
      this.strip.setSelection(this.selection);
    }
    this.drawn = { events: reading.events, end_us: window.end_us, chosen };
    this.strip.setMeasures(reading.measures, { stale });
    this.numbers.update(reading.measures, book, { stale, error: reading.measuresError });
    this.editor.update(this.selected(), this.editing);
    this.saving.update({ state: queue.state, message: queue.message, waiting: reading.waiting.length, kept: this.shelf.works, finished: reading.shown.finished, saved_us: reading.window.end_us });
    this.tools.update(reading);
    this.captions.update(reading.revision);
    setText(part("count"), reading.events.length === 1 ? "1 event" : `${reading.events.length} events`);
    this.keepUp.catchUp();
    this.drawTime();
  }

  stripClip() {
    const { start_us, frames } = this.player;
    if (this.clip) this.strip.setClip({ start_us: frames ? start_us : this.clip.start_us, duration_us: this.duration_us ?? 0, frames: /** @type {any} */ (frames), side: /** @type {any} */ (this.side) });
  }

  playState() {
    this.transport.state();
    this.reach.rest(!this.player.playing);
    this.ask("time");
  }
}

/** The time that the page's address names behind #t=, in seconds or as 1:02.5; null if none. */
function addressed() {
  const at = /^#t=([\d:.]+)$/.exec(location.hash);
  const t = at && parseTime(at[1]);
  return t && "us" in t ? t.us : null;
}

if (part("video")) {
  const desk = new Desk(pageData());
  Object.assign(window, { desk });
  desk.start();
}
