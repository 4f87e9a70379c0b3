// @ts-check
// What the strip asks for.
import { SEEK, SELECT, EDGE } from "../strip/types.js";
import { fits } from "./amend.js";

/**
 * @param {import("./desk.js").Desk} desk
 * @param {HTMLElement} root of the strip
 * @param {AbortSignal} signal
 */
export function stripEvents(desk, root, signal) {
  const on = (/** @type {string} */ name, /** @type {(detail: any) => void} */ fn) => root.addEventListener(name, (e) => fn(/** @type {CustomEvent} */ (e).detail), { signal });
  on(SEEK, ({ us }) => desk.player.goTo(us));
  on(SELECT, ({ ids, add }) => {
    desk.select(ids, add);
    if (ids.length > 0) desk.editing = true;
    else desk.closeEditor();
  });
  on(EDGE, ({ id, edge, start_us, end_us, done, cancelled }) => {
    const e = desk.reading.get(id);
    if (!e || cancelled) return;
    // The picture goes along with the edge.
    const shown = edge === "end" ? end_us : start_us;
    if (shown !== null) desk.player.goTo(shown);
    if (!done || (start_us === e.start_us && end_us === e.end_us)) return;
    const next = fits(desk.room(), { ...e, start_us, end_us });
    if (typeof next === "string") desk.say(next, true);
    else desk.change(next, `${desk.book.nameOf(e)}, ${edge === "both" ? "moved" : `${edge} moved`}`);
    desk.ask("all");
  });
}
