// @ts-check
// Expected values are worked by hand from the definition of minutes and seconds.
import { test, equal } from "./assert.js";
import { timeLabel, secondsLabel, parseTime, ticks, SECOND, MINUTE, HOUR } from "/assets/js/shared/time.js";

test("time labels", () => {
  for (const [us, digits, want] of /** @type {[number, number, string][]} */ ([
    [0, 3, "0:00.000"], [35604000, 3, "0:35.604"], [59.999e6, 3, "0:59.999"], [59999600, 3, "1:00.000"],
    [59.999e6, 0, "1:00"], [59.999e6, 1, "1:00.0"], [60e6, 3, "1:00.000"], [60e6, 0, "1:00"],
    [3599.9996e6, 3, "1:00:00.000"], [3600e6, 3, "1:00:00.000"], [3600e6, 0, "1:00:00"], [3723.5e6, 1, "1:02:03.5"],
    [360000e6, 0, "100:00:00"], [1, 6, "0:00.000001"], [-1.5e6, 1, "\u22120:01.5"], [-100, 3, "0:00.000"],
  ])) equal(timeLabel(us, digits), want, `timeLabel(${us}, ${digits})`);
});

test("seconds", () => {
  for (const [us, want] of /** @type {[number, string][]} */ ([[0, "0.0"], [2.34e6, "2.3"], [59.96e6, "60.0"], [-20e3, "0.0"], [-2.5e6, "-2.5"]]))
    equal(secondsLabel(us), want, `secondsLabel(${us})`);
});

test("typed times", () => {
  for (const [text, want] of /** @type {[string, any][]} */ ([
    ["1:02.5", { us: 62.5e6 }], ["62.5", { us: 62.5e6 }], ["62,5", { us: 62.5e6 }], [" 0:35.604 ", { us: 35604000 }],
    ["1:00:03", { us: 3603e6 }], ["0", { us: 0 }], ["90:00", { us: 5400e6 }], [".5", { us: 5e5 }], ["5.", { us: 5e6 }],
    ["0.333333", { us: 333333 }], ["#1068", { frame: 1068 }], ["# 0", { frame: 0 }],
    ["", null], ["1:60", null], ["1:75.2", null], ["1:60:00", null], ["-3", null], ["#-3", null], ["#1.5", null],
    ["1:2:3:4", null], ["abc", null], ["1e3", null], ["1.2.3", null], [":30", null],
  ])) equal(parseTime(text), want, `parseTime(${text})`);
});

test("a label reads back as the time it shows", () => {
  for (const us of [0, 1000, 59.999e6, 60e6, 3599.999e6, 3600e6, 7325.001e6])
    equal(parseTime(timeLabel(us)), { us }, `parseTime(${timeLabel(us)})`);
});

test("tick ladder", () => {
  // 1,000 px for 60 s is 16.7 px per second: 80 px apart means steps of 5 s.
  const minute = ticks(0, MINUTE, 1000);
  equal(minute.step, 5 * SECOND, "step for a minute");
  equal(minute.major, [0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60].map((s) => s * SECOND), "ticks for a minute");
  equal(minute.minor.length, 48, "small ticks for a minute");
  equal(minute.digits, 0, "digits for a minute");
  equal(ticks(0, MINUTE, 480).step, 10 * SECOND, "exactly 80 px apart");
  equal(ticks(0, MINUTE, 479).step, 20 * SECOND, "a pixel less");
  equal(ticks(0, HOUR, 1000).step, 5 * MINUTE, "step for an hour");
  const short = ticks(59.8e6, 60.2e6, 1000);
  equal([short.step, short.digits], [50e3, 2], "step and digits for 0.4 s");
  equal(short.major.map((t) => timeLabel(t, short.digits)),
    ["0:59.80", "0:59.85", "0:59.90", "0:59.95", "1:00.00", "1:00.05", "1:00.10", "1:00.15", "1:00.20"], "labels across the minute");
  equal(ticks(0, 1000 * HOUR, 100).step, 50 * HOUR, "a range beyond the ladder takes its last step");
  equal(ticks(5, 5, 100).major, [], "empty range");
  equal(ticks(0, 5, 0).major, [], "no width");
});
