// @ts-check
// A codebook looked up by code id: what a role needs of each code, and the
// ladder. Codes are known by their role only; ids, names and lanes are the user's.

/** @typedef {import("./types.js").StripEvent} StripEvent */
/** @typedef {import("./types.js").Item} Item */

/** @typedef {{code: any, lane: string, exclusive: boolean}} Entry */

export class Book {
  /** @param {any} json a codebook as in a reading file; null gives an empty book */
  constructor(json) {
    /** @type {Map<string, Entry>} */
    this.codes = new Map();
    for (const lane of json?.lanes ?? []) {
      for (const code of lane.codes ?? []) this.codes.set(code.id, { code, lane: lane.name, exclusive: !!lane.exclusive });
    }
    this.helpRank = json?.help_rank ?? 0;
    /** @type {Map<string, number>} */
    this.ranks = new Map();
    this.rankMax = 1;
    for (const rung of json?.ladder ?? []) {
      this.ranks.set(rung.device ? `${rung.channel}@${rung.device}` : rung.channel, rung.rank);
      this.rankMax = Math.max(this.rankMax, rung.rank);
    }
    this.noTrial = new Set(json?.house?.no_trial ?? ["name", "release", "stay"]);
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
    const { code } = entry;
    const own = e.details ?? {};
    const detail = (/** @type {string} */ key) => own[key] ?? code[key];
    const open = e.end_us === null || e.end_us === undefined;
    const channel = code.role === "pressure" ? String(detail("channel") ?? "") : "";
    const rank = channel ? this.rank(channel, String(detail("device") ?? "")) : 0;
    return {
      id: e.id, role: code.role, name: String(code.name ?? code.id), lane: entry.lane, exclusive: entry.exclusive,
      start: e.start_us, end: open ? Infinity : Number(e.end_us), open,
      kind: String(detail("kind") ?? ""), command: String(detail("command") ?? ""), result: String(detail("result") ?? ""),
      posture: String(detail("posture") ?? ""), channel, rank, helps: rank > 0 && rank <= this.helpRank,
      level: number(detail("level"), NaN), taps: number(detail("taps"), 0), distance: number(detail("distance_m"), NaN),
      note: e.note ?? "",
    };
  }
}

/** @param {unknown} v @param {number} missing */
const number = (v, missing) => (typeof v === "number" ? v : missing);
