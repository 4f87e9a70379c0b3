// @ts-check
// From a problem's field, as the server names it, to the field on the page.

/**
 * @typedef {object} Spot
 * @property {string} id of the element on the page
 * @property {string} [code] id of the code whose form it stands in
 */

/**
 * @param {string} field "codebook.lanes[3] (cue).codes[1] (down).key"
 * @param {any} book the book that was checked
 * @returns {Spot | null} null for what has no field on the page
 */
export function spotOf(field, book) {
  if (!field.startsWith("codebook.")) return null;
  const rest = field.slice("codebook.".length);
  if (rest === "name") return { id: "book-name" };
  if (rest === "help_rank") return { id: "help-rank" };
  if (rest === "lanes") return { id: "add-lane-name" };
  if (rest.startsWith("house.")) return { id: houseID(rest.slice("house.".length)) };
  const rung = /^ladder\[(\d+)\]/.exec(rest);
  if (rung) {
    const n = Number(rung[1]);
    const g = book.ladder?.[n] ?? {};
    const scale = g.device ? `${g.channel}@${g.device}` : g.channel ?? "";
    const after = past(rest, `ladder[${n}] (${scale})`);
    return { id: `r${n}-${after.slice(1) || "channel"}` };
  }
  const lane = /^lanes\[(\d+)\]/.exec(rest);
  if (!lane) return null;
  const i = Number(lane[1]);
  const inLane = past(rest, `lanes[${i}] (${book.lanes?.[i]?.name ?? ""})`);
  const code = /^\.codes\[(\d+)\]/.exec(inLane);
  if (!code) return { id: `l${i}-${inLane.slice(1) || "name"}` };
  const k = Number(code[1]);
  const c = book.lanes[i]?.codes?.[k];
  const sub = past(inLane, `.codes[${k}] (${c?.id ?? ""})`).slice(1).replace(/\[\d+\]$/, "");
  return { id: `l${i}c${k}-${sub.replaceAll(".", "-") || "name"}`, code: c?.id };
}

/** @param {string} text @param {string} start @returns {string} what follows start, "" if text doesn't begin so */
const past = (text, start) => (text.startsWith(start) ? text.slice(start.length) : "");

/** @param {string} key of a house rule, also within a table: "answer_windows_s.come" */
export function houseID(key) {
  for (const table of ["answer_windows_s", "prompt_limits_s"]) if (key.startsWith(table)) return `h-${table}`;
  const limit = /^limits_s\.(.*?)(?:\.(?:most|least))?$/.exec(key);
  if (limit) return `h-limits_s-${limit[1]}`;
  return `h-${key.replace(".", "-")}`;
}
