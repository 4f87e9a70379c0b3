// @ts-check
// Measures the strip; nothing here passes or fails.
import { Strip } from "/assets/js/strip/strip.js";
import { busyEvents } from "./busy.js";

const book = await (await fetch("/jstest/book.json")).json();
const frame = () => new Promise((done) => requestAnimationFrame(done));

/** @param {number[]} list @param {number} q */
const quantile = (list, q) => [...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(q * list.length))];

/**
 * @param {number} n events
 * @returns {Promise<Record<string, number>>} ms of script by what was asked for, and screen frames per second
 */
async function probe(n) {
  const seconds = 3600;
  const root = /** @type {HTMLElement} */ (document.getElementById("strip"));
  const strip = new Strip(root);
  strip.setBook(book);
  strip.setClip({ start_us: 0, duration_us: seconds * 1e6 });
  const events = busyEvents(n, seconds);
  strip.setEvents(events, { window: { start_us: 0, end_us: seconds * 1e6 } });
  strip.setTime(0);
  await frame();

  /** @type {Record<string, number>} */
  const out = {};
  /** @param {string} name @param {number} rounds @param {(i: number) => void} change */
  const measure = async (name, rounds, change) => {
    const times = [];
    const begin = performance.now();
    for (let i = 0; i < rounds; i++) {
      const t = performance.now();
      change(i);
      strip.paint(); // the same work as on the next frame, timed
      times.push(performance.now() - t);
      await frame();
    }
    out[`${name}-ms`] = quantile(times, 0.5);
    out[`${name}-p95-ms`] = quantile(times, 0.95);
    out[`${name}-fps`] = (rounds * 1000) / (performance.now() - begin);
  };
  await measure("whole", 120, (i) => strip.showRange(i % 2, seconds * 1e6 - (i % 3)));
  strip.showRange(0, seconds * 1e5);
  await measure("pan-tenth", 120, () => strip.pan(2e6));
  strip.showRange(60e6, 120e6);
  await measure("pan-minute", 120, () => strip.pan(0.2e6));
  strip.fit();
  await measure("playhead", 120, (i) => strip.setTime(i * 33e3));
  await measure("new-event", 30, (i) => strip.setEvents([...events, { id: "new", code: "sit", start_us: i * 1e6, end_us: i * 1e6 }]));
  strip.setEvents(events.map((e, i) => (i === 0 ? { ...e, end_us: null } : e)));
  await measure("playhead-open", 120, (i) => strip.setTime(1800e6 + i * 33e3));
  strip.destroy();
  return out;
}

Object.assign(window, { probe });
