// @ts-check
// The order in which the layers of the picture are laid on each other.
import { paintAxis, paintOverview } from "./axis.js";
import { paintHatching, paintGuides, blankHidden, paintHidden, labelDistractions } from "./ground.js";
import { paintErrors, paintDogLine, paintLengths } from "./line.js";
import { paintStays, paintBreaks, paintOthers } from "./stays.js";
import { paintWhiskers, paintCues, paintMoves } from "./cues.js";
import { paintRewards, paintHelp, paintPressure } from "./pressure.js";
import { paintSigns, paintContext } from "./signs.js";
import { paintSelectionGround, paintSelectionFrame } from "./selection.js";
import { paintWindow, keepWindowClear, paintNames } from "./frame.js";
import { paintOpen } from "./open.js";

/** @typedef {import("./pen.js").Pen} Pen */

/**
 * The lower layer: the paper with hatching and guides, and what is still open.
 * Where anything is open it is repainted whenever the playhead moves.
 * @param {Pen} pen
 * @param {number} helpRank
 */
export function paintUnder(pen, helpRank) {
  clipped(pen, () => {
    paintHatching(pen);
    paintGuides(pen, helpRank);
    paintSelectionGround(pen);
    paintOpen(pen);
    blankHidden(pen);
  });
}

/**
 * The upper layer: all whose ends are known, and every word.
 * @param {Pen} pen
 * @param {{derived: import("../derived.js").Derived, stale: boolean, helpRank: number,
 *   frames: import("../../shared/frames.js").Frames | null, window: {start_us: number, end_us: number} | null}} given
 */
export function paintMain(pen, { derived, stale, helpRank, frames, window }) {
  paintOverview(pen);
  paintNames(pen, helpRank);
  paintAxis(pen, frames);
  clipped(pen, () => {
    keepWindowClear(pen, window);
    labelDistractions(pen);
    paintErrors(pen);
    paintOthers(pen);
    paintStays(pen);
    paintDogLine(pen);
    paintBreaks(pen);
    blankHidden(pen);
    paintHidden(pen);
    paintWhiskers(pen, derived, stale);
    paintCues(pen);
    paintMoves(pen);
    paintRewards(pen);
    paintHelp(pen);
    paintPressure(pen);
    paintSigns(pen);
    paintContext(pen);
    paintLengths(pen, derived, stale);
    paintWindow(pen, window, pen.drawLabels());
    paintSelectionFrame(pen);
  });
}

/** Keeps what is painted out of the names of the rows. @param {Pen} pen @param {() => void} paint */
function clipped({ ctx, rows, scale, s }, paint) {
  ctx.save();
  ctx.beginPath();
  ctx.rect(scale.left - 7 * s, 0, rows.width - scale.left + 7 * s, rows.height);
  ctx.clip();
  paint();
  ctx.restore();
}
