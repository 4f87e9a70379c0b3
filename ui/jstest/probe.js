// @ts-check
// Work for the strip to be measured at; nothing here passes or fails.
import { Strip } from "/assets/js/strip/strip.js";
import { busyEvents } from "./busy.js";

const book = await (await fetch("/jstest/book.json")).json();
const frame = () => new Promise((done) => requestAnimationFrame(done));
const seconds = 3600;
const strip = new Strip(/** @type {HTMLElement} */ (document.getElementById("strip")));

/** @type {any[]} */
let events = [];

/** An hour with n events, all in view. @param {number} n */
async function fill(n) {
  events = busyEvents(n, seconds);
  strip.setBook(book);
  strip.setClip({ start_us: 0, duration_us: seconds * 1e6 });
  strip.setEvents(events, { window: { start_us: 0, end_us: seconds * 1e6 } });
  strip.setTime(0);
  for (let i = 0; i < 20; i++) await step("whole", i); // so that the code is compiled
  return true;
}

/** @param {string} what @param {number} i */
async function step(what, i) {
  if (what === "whole") strip.showRange(i % 2, seconds * 1e6 - (i % 3));
  if (what === "tenth") strip.showRange(i * 2e6, i * 2e6 + seconds * 1e5);
  if (what === "minute") strip.showRange(60e6 + i * 2e5, 120e6 + i * 2e5);
  if (what === "playhead") strip.setTime(i * 33e3);
  if (what === "new event") strip.setEvents([...events, { id: "new", code: "sit", start_us: i * 1e6, end_us: i * 1e6 }]);
  await frame();
}

/**
 * Asks for `rounds` repaints, one for each screen frame; resolves to the frames
 * per second that came of it.
 * @param {string} what whole, tenth, minute: what is in view as it moves; playhead; new event
 * @param {number} rounds
 */
async function probe(what, rounds) {
  strip.fit();
  await frame();
  const begin = performance.now();
  for (let i = 0; i < rounds; i++) await step(what, i);
  return (rounds * 1000) / (performance.now() - begin);
}

Object.assign(window, { fill, probe });
