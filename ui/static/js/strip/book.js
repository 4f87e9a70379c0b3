// @ts-check
// A codebook looked up by code id: what a role needs of each code, and the
// ladder. Codes are known by their role only; ids, names and lanes are the user's.

/** @typedef {import("./types.js").StripEvent} StripEvent */
/** @typedef {import("./types.js").Item} Item */

/** @typedef {{code: any, plain: Item}} Entry a code, and an item of it without details */

export class Book {
  /** @param {any} json a codebook as in a reading file; null gives an empty book */
  constructor(json) {
    /** @type {string[]} */
    this.lanes = (json?.lanes ?? []).map((/** @type {any} */ lane) => String(lane.name));
    this.helpRank = json?.help_rank ?? 0;
    /** @type {Map<string, number>} */
    this.ranks = new Map();
    this.rankMax = 1;
    for (const rung of json?.ladder ?? []) {
      this.ranks.set(rung.device ? `${rung.channel}@${rung.device}` : rung.channel, rung.rank);
      this.rankMax = Math.max(this.rankMax, rung.rank);
    }
    /** @type {Map<string, Entry>} */
    this.codes = new Map();
    for (const lane of json?.lanes ?? []) {
      for (const code of lane.codes ?? []) {
        const plain = {
          id: "", role: String(code.role), name: String(code.name ?? code.id), lane: String(lane.name), exclusive: !!lane.exclusive,
          start: 0, end: 0, open: false, note: "", ...this.properties(code, {}),
        };
        this.codes.set(code.id, { code, plain });
      }
    }
  }

  /** @param {string} role whether any code has it */
  has(role) {
    for (const { code } of this.codes.values()) if (code.role === role) return true;
    return false;
  }

  /**
   * The rank of a channel, or of one device of it if that has a rung of its own;
   * 1 if the ladder has neither.
   * @param {string} channel
   * @param {string} device
   */
  rank(channel, device) {
    return (device && this.ranks.get(`${channel}@${device}`)) || this.ranks.get(channel) || 1;
  }

  /**
   * An event with its code's properties; a detail of the event goes over the
   * same property of the code unless it is null. Null for a code that the book
   * doesn't have.
   * @param {StripEvent} e
   * @returns {Item | null}
   */
  item(e) {
    const entry = this.codes.get(e.code);
    if (!entry) return null;
    const open = e.end_us === null || e.end_us === undefined;
    const item = { ...entry.plain, id: e.id, start: e.start_us, end: open ? Infinity : Number(e.end_us), open, note: e.note ?? "" };
    for (const key in e.details) {
      if (e.details[key] !== null) return Object.assign(item, this.properties(entry.code, e.details));
    }
    return item;
  }

  /**
   * What drawing needs of a code, with the details of an event over it.
   * @param {any} code
   * @param {Record<string, any>} details
   */
  properties(code, details) {
    const detail = (/** @type {string} */ key) => details[key] ?? code[key];
    const channel = code.role === "pressure" ? String(detail("channel") ?? "") : "";
    const rank = channel ? this.rank(channel, String(detail("device") ?? "")) : 0;
    const kind = String(detail("kind") ?? "");
    return {
      kind, look: `${code.role} ${kind}`, command: String(detail("command") ?? ""), result: String(detail("result") ?? ""),
      posture: String(detail("posture") ?? ""), channel, called: channel === String(code.channel ?? "") ? wordOf(code) : channel, rank, helps: rank > 0 && rank <= this.helpRank,
      level: number(detail("level"), NaN), taps: number(detail("taps"), 0), distance: number(detail("distance_m"), NaN),
    };
  }
}

/**
 * The word for pressure of a code where room is scarce: “leash” of “leash, steady”.
 * @param {any} code
 */
export const wordOf = (code) => String(code.name ?? code.id).replace(/\s*[,(].*$/, "");

/** @param {unknown} v @param {number} missing */
const number = (v, missing) => (typeof v === "number" ? v : missing);
