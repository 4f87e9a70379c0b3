// @ts-check
// The codebook as the desk needs it: codes with their lanes, the exercise that a
// command belongs to, scales, and which key stands for which code.
import { wordOf } from "../strip/book.js";

/** @typedef {import("./types.js").Event} Event */

/**
 * A code of the book with the lane that it stands in.
 * @typedef {object} Code
 * @property {string} id
 * @property {string} name
 * @property {string} key a letter, "" for none; upper case means with Shift
 * @property {string} role
 * @property {"span" | "moment" | "either"} shape
 * @property {string} [kind]
 * @property {string} [command]
 * @property {string} [result]
 * @property {string} [channel]
 * @property {string} [device]
 * @property {string} [then]
 * @property {string[]} [picks]
 * @property {{starts?: string, ends?: string, not?: string}} [definition]
 * @property {{coder?: string, handler?: string, owner?: string}} [texts]
 * @property {{index: number, name: string, exclusive: boolean}} lane
 */

const NO_TRIAL = ["name", "release", "stay"];
const WINDOWS_S = { come: 30, place: 20 };
const WINDOW_S = 10;

export class Book {
  /**
   * @param {any} json a codebook as in a reading file
   * @param {string} [side] where the dog is worked, "left" or "right" of the handler
   */
  constructor(json, side = "left") {
    this.json = json;
    this.name = String(json?.name ?? "");
    this.version = json?.version;
    this.side = side === "right" ? "right" : "left";
    /** @type {{name: string, exclusive: boolean, codes: Code[]}[]} */
    this.lanes = (json?.lanes ?? []).map((/** @type {any} */ lane, /** @type {number} */ index) => {
      const at = { index, name: String(lane.name ?? ""), exclusive: !!lane.exclusive };
      return { name: at.name, exclusive: at.exclusive, codes: (lane.codes ?? []).map((/** @type {any} */ c) => ({ ...c, key: c.key ?? "", lane: at })) };
    });
    /** @type {Map<string, Code>} */
    this.codes = new Map(this.lanes.flatMap((l) => l.codes).map((c) => [c.id, c]));
    this.helpRank = json?.help_rank ?? 0;
    /** @type {{channel: string, rank: number, device?: string, level_max?: number}[]} */
    this.ladder = json?.ladder ?? [];
    this.noTrial = new Set(json?.house?.no_trial ?? NO_TRIAL);
    this.keys = mirrored([...this.codes.values()], this.side);
  }

  /** @param {string} id @returns {Code | undefined} */
  code(id) {
    return this.codes.get(id);
  }

  /** @param {Event} e */
  role(e) {
    return this.codes.get(e.code)?.role ?? "";
  }

  /**
   * A detail of an event, its code's where it has none of its own.
   * @param {Event} e
   * @param {string} name
   * @returns {any}
   */
  detail(e, name) {
    return e.details?.[name] ?? /** @type {any} */ (this.codes.get(e.code))?.[name];
  }

  /** @param {Code} code its name without what stands in brackets */
  label(code) {
    return code.name.replace(/\s*\(.*\)$/, "");
  }

  /** @param {Event} e */
  nameOf(e) {
    const code = this.codes.get(e.code);
    return code ? this.label(code) : e.code;
  }

  /** @param {Code} code the key for it on this clip; "" for none */
  keyOf(code) {
    return this.keys.get(code.id) ?? "";
  }

  /**
   * How long an answer to a command may take, µs.
   * @param {string} command
   */
  answerWindow(command) {
    const house = this.json?.house ?? {};
    const own = house.answer_windows_s && command in house.answer_windows_s
      ? house.answer_windows_s[command]
      : /** @type {Record<string, number>} */ (WINDOWS_S)[command];
    return (own ?? house.answer_window_s ?? WINDOW_S) * 1e6;
  }

  /** @param {string} command whether an exercise of the book is asked for by it */
  asksFor(command) {
    for (const c of this.codes.values()) if (c.role === "exercise" && c.command === command) return true;
    return false;
  }

  /** @param {string} channel @param {string} [device] the scale that levels are told on */
  scale(channel, device) {
    return device ? `${channel}@${device}` : channel;
  }

  /**
   * What a scale is called: the first code's name on its channel, short, with the
   * device behind it if it has one of its own.
   * @param {string} scale channel or channel@device
   */
  channelName(scale) {
    const [, channel, device] = /** @type {RegExpExecArray} */ (/^([^@]*)@?(.*)$/s.exec(scale));
    for (const c of this.codes.values()) {
      if (c.role === "pressure" && c.channel === channel) return wordOf(c) + (device ? ` (${device})` : "");
    }
    return scale;
  }

  /**
   * The rung of a channel, or of one device of it if that has its own.
   * @param {string} channel
   * @param {string} [device]
   */
  rung(channel, device) {
    return (device && this.ladder.find((r) => r.channel === channel && r.device === device)) || this.ladder.find((r) => r.channel === channel && !r.device);
  }
}

/**
 * Keys by code id. On a dog worked on the right, wide and crowding change keys,
 * so that they stay where the dog is.
 * @param {Code[]} codes
 * @param {string} side
 */
function mirrored(codes, side) {
  const keys = new Map(codes.map((c) => [c.id, c.key]));
  if (side !== "right") return keys;
  const wide = codes.filter((c) => c.role === "error" && c.kind === "wide" && c.key);
  const crowding = codes.filter((c) => c.role === "error" && c.kind === "crowding" && c.key);
  if (wide.length === 1 && crowding.length === 1) {
    keys.set(wide[0].id, crowding[0].key);
    keys.set(crowding[0].id, wide[0].key);
  }
  return keys;
}
