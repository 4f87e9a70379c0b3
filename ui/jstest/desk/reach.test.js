// @ts-check
import { test, equal } from "../assert.js";
import { Reach } from "/assets/js/desk/reach.js";

const s = 1e6;

function make(end = 10 * s) {
  /** @type {number[]} */
  const saved = [];
  const window = { end };
  const reach = new Reach(() => window.end, (us) => saved.push(us), new AbortController().signal);
  return { reach, saved, window };
}

test("what is played through counts, once something is coded", () => {
  const { reach } = make();
  for (let us = 9 * s; us <= 20 * s; us += s / 25) reach.shown(us);
  equal(reach.coded(12 * s), 20 * s, "played to 20, coded at 12");
});

test("a jump does not", () => {
  const { reach } = make();
  reach.shown(10 * s);
  reach.shown(11.5 * s); // a step that is no jump
  reach.shown(13.1 * s);
  reach.shown(40 * s);
  reach.shown(11 * s);
  equal(reach.coded(11 * s), 11.5 * s);
});

test("where something is coded counts wherever it is", () => {
  const { reach } = make();
  reach.shown(40 * s);
  equal(reach.coded(40 * s), 40 * s);
  equal(make().reach.coded(4 * s), undefined, "inside the window there is nothing to widen");
});

test("a rest saves it, but not what was only looked at", async () => {
  const looked = make();
  looked.reach.shown(11 * s);
  looked.reach.rest(true);
  const { reach, saved } = make();
  reach.coded(9 * s);
  reach.shown(11 * s);
  reach.rest(true);
  reach.shown(12 * s);
  reach.rest(true);
  await new Promise((done) => setTimeout(done, 1700));
  equal([saved, looked.saved], [[12 * s], []]);
});
