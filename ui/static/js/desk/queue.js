// @ts-check
// Sends waiting edits to the server, oldest first, one at a time. An edit is kept
// on the shelf before it counts as waiting and stays there until the server has
// acknowledged it; sending one twice is harmless, as the server knows it by its
// id.

/** @typedef {import("./types.js").Waiting} Waiting */
/** @typedef {import("./reading.js").Reading} Reading */
/** @typedef {import("./shelf.js").Shelf} Shelf */

/** Waits between tries while the server is away, ms; the last one goes on. */
const PAUSES = [250, 500, 1000, 2000, 4000, 8000];

/** How long one try may take, ms. */
const PATIENCE = 20000;

/**
 * How saving goes: idle (all saved), sending, away (the server can't be
 * reached), shut (it does not let this browser in), conflict (a person has to
 * choose).
 * @typedef {"idle" | "sending" | "away" | "shut" | "conflict"} State
 */

/**
 * @typedef {object} Clash
 * @property {Waiting} edit
 * @property {{id: string, yours: any, now: any}[]} conflicts
 */

/**
 * @typedef {object} Told
 * @property {() => void} changed what is shown or how saving goes has changed
 * @property {(out: Waiting[], error: {message: string, hint: string}) => void} refused
 * @property {(clash: Clash) => void} clash
 * @property {() => void} stale the reading has to be asked for anew
 */

export class Queue {
  /**
   * @param {string} url where edits are posted
   * @param {Reading} reading
   * @param {Shelf} shelf
   * @param {Told} told
   * @param {AbortSignal} signal
   * @param {typeof fetch} [send]
   */
  constructor(url, reading, shelf, told, signal, send = (...a) => fetch(...a)) {
    this.url = url;
    this.reading = reading;
    this.shelf = shelf;
    this.told = told;
    this.signal = signal;
    this.send = send;
    /** @type {State} */
    this.state = "idle";
    this.message = ""; // of the server, while shut
    this.tries = 0;
    this.running = false;
    /** @type {Clash | null} */
    this.clash = null;
    this.missed = false;
    /** @type {() => void} */
    this.wake = () => {};
    addEventListener("online", () => this.now(), { signal });
  }

  /** @param {Waiting | null} edit made by the reading, shown already */
  add(edit) {
    if (!edit) return;
    this.shelf.keep(edit);
    this.run();
  }

  /** @param {Waiting[]} edits that an earlier page left */
  adopt(edits) {
    if (edits.length === 0) return;
    this.reading.adopt(edits);
    this.run();
  }

  /** Tries again at once: the server may be back. */
  now() {
    this.tries = 0;
    this.wake();
    this.run();
  }

  async run() {
    if (this.running) {
      this.told.changed();
      return;
    }
    this.running = true;
    try {
      while (this.reading.waiting.length > 0 && !this.clash && !this.signal.aborted) {
        if (this.state === "idle") this.state = "sending";
        this.told.changed();
        await this.one(this.reading.waiting[0]);
      }
    } finally {
      this.running = false;
    }
    this.state = this.clash ? "conflict" : "idle";
    this.told.changed();
    if (this.missed && !this.clash && !this.signal.aborted) {
      this.missed = false;
      this.told.stale();
    }
  }

  /** @param {Waiting} w */
  async one(w) {
    let reply, answer;
    try {
      reply = await this.send(this.url, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify(this.reading.body(w)),
        signal: AbortSignal.any([this.signal, AbortSignal.timeout(PATIENCE)]),
      });
      answer = await reply.json();
    } catch {
      if (!this.signal.aborted) await this.pause("away", "");
      return;
    }
    if (this.reading.waiting[0] !== w) return; // turned out meanwhile
    if (reply.ok) this.acknowledged(w, answer);
    else if (reply.status === 409) this.conflict(w, answer);
    else if ([400, 413, 415, 422].includes(reply.status)) this.refuse(w.id, answer.error);
    else await this.pause(reply.status >= 500 || reply.status === 429 ? "away" : "shut", answer.error?.message ?? "");
  }

  /** @param {Waiting} w @param {any} reply */
  acknowledged(w, reply) {
    this.tries = 0;
    this.state = "sending";
    const { missed, changed } = this.reading.acknowledge(reply);
    // First what stands on it is kept with its numbers, then it goes: if the page
    // ends between, it is sent once more, which does nothing.
    for (const later of changed) this.shelf.keep(later);
    this.shelf.drop(w.id);
    if (missed) this.missed = true;
  }

  /** @param {string} id @param {{message: string, hint: string} | undefined} error */
  refuse(id, error) {
    const out = this.reading.refuse(id);
    for (const w of out) this.shelf.drop(w.id);
    this.missed = true; // what is there now may differ from what was thought
    this.told.refused(out, { message: error?.message ?? "The server refused it.", hint: error?.hint ?? "" });
  }

  /** @param {Waiting} w @param {any} answer */
  conflict(w, answer) {
    if (answer.gone || !answer.conflicts?.length) {
      this.refuse(w.id, answer.error);
      return;
    }
    this.clash = { edit: w, conflicts: answer.conflicts };
    this.told.clash(this.clash);
  }

  /**
   * Ends a conflict. Of the events in `mine` this page's version is sent anew, as
   * a change of what is there now; of the others what is there stays, and what
   * this page did to them since is dropped.
   * @param {Set<string>} mine
   */
  resolve(mine) {
    const clash = this.clash;
    if (!clash) return;
    this.clash = null;
    const { edit, conflicts } = clash;
    const theirs = new Set(conflicts.map((c) => c.id).filter((id) => !mine.has(id)));
    for (const { id, now } of conflicts) {
      if (now) this.reading.base.set(id, now);
      else this.reading.base.delete(id);
    }
    for (const w of this.reading.waiting) without(w, theirs);
    if (edit.undo || edit.redo) plain(edit, mine.size > 0);
    for (const c of conflicts) if (mine.has(c.id)) retake(edit, c);
    for (const w of this.reading.waiting) {
      const kept = this.reading.log.get(w.id);
      if (kept?.steps) kept.steps = w.steps;
    }
    const empty = this.reading.waiting.filter((w) => isEmpty(w));
    this.reading.waiting = this.reading.waiting.filter((w) => !isEmpty(w));
    for (const w of empty) this.shelf.drop(w.id);
    for (const w of this.reading.waiting) this.shelf.keep(w);
    this.missed = true;
    this.reading.show();
    this.run();
  }

  /**
   * Waits before the next try, less the more often it has to.
   * @param {State} state
   * @param {string} message
   */
  async pause(state, message) {
    this.state = state;
    this.message = message;
    this.told.changed();
    const ms = PAUSES[Math.min(this.tries++, PAUSES.length - 1)];
    await new Promise((/** @type {(v?: unknown) => void} */ done) => {
      const timer = setTimeout(done, ms);
      this.wake = () => {
        clearTimeout(timer);
        done();
      };
    });
  }
}

/**
 * Has an edit change an event from what it is now to what the edit wants.
 * @param {Waiting} w
 * @param {{id: string, yours: any, now: any}} what null for no such event
 */
function retake(w, { id, yours, now }) {
  without(w, new Set([id]));
  const was = now?.rev ?? 0;
  const { rev: _, ...event } = yours ?? {};
  if (yours) w.put.push({ event, was });
  else if (now) w.remove.push({ id, was });
  w.steps.push({ id, before: now, after: yours ? { ...event, rev: { after: w.id } } : null });
}

/** @param {Waiting} w @param {Set<string>} ids events that it leaves alone from now on */
function without(w, ids) {
  w.put = w.put.filter((p) => !ids.has(p.event.id));
  w.remove = w.remove.filter((r) => !ids.has(r.id));
  w.steps = w.steps.filter((s) => !ids.has(s.id));
}

/**
 * Makes a plain edit of an undo that could not be done: it puts back by itself
 * what the undo would have, or nothing if nothing of it is wanted.
 * @param {Waiting} w
 * @param {boolean} wanted
 */
function plain(w, wanted) {
  delete w.undo;
  delete w.redo;
  const steps = wanted ? w.steps : [];
  w.steps = [];
  for (const { id, before, after } of steps) {
    const was = before?.rev ?? 0;
    const { rev: _, ...event } = after ?? {};
    if (after) w.put.push({ event: /** @type {any} */ (event), was });
    else w.remove.push({ id, was });
    w.steps.push({ id, before, after: after && { .../** @type {any} */ (event), rev: { after: w.id } } });
  }
  if (w.facts && wanted) w.set = w.facts.after;
  else delete w.facts;
}

/** @param {Waiting} w */
const isEmpty = (w) => w.put.length === 0 && w.remove.length === 0 && !w.set && w.reach_us === undefined && !w.undo && !w.redo;
