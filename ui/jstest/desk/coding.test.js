// @ts-check
// What a press does, worked by hand from the rules at the top of coding.js and
// from the definitions of the codes.
import { test, equal, ok } from "../assert.js";
import { Bench, coded } from "./bench.js";

/** @type {[string, string, string[]][]} */
const scripts = [
  ["on and off with the same key", "w@1 w@3", ["ahead 1-3"]],
  ["the opposite replaces it", "w@1 s@3", ["ahead 1-3", "behind 3-"]],
  ["two lanes at once", "w@1 a@2 w@3", ["ahead 1-3", "wide 2-"]],
  ["on and off at one frame leaves nothing", "w@1 w@1", []],
  ["opposites at one frame leave the second", "w@1 s@1", ["behind 1-"]],
  ["a key ends a span that had an end already", "w@1 w@9 w@5", ["ahead 1-5"]],
  ["the end of a span is not in it", "w@1 w@5 w@5", ["ahead 1-5", "ahead 5-"]],
  ["before a later span of the lane a new one ends where that starts", "w@10 s@4", ["behind 4-10", "ahead 10-"]],
  ["the opposite inside a span takes over to its end", "w@1 w@9 s@4", ["ahead 1-4", "behind 4-9"]],
  ["a lane that isn't exclusive lets spans overlap", "D@4 D@9 D@2", ["distraction 2-", "distraction 4-9"]],

  ["right ends the newest", "w@1 a@2 e@3 e@4", ["ahead 1-4", "wide 2-3"]],
  ["right ends off-task too", "q@1 e@3", ["off-task 1-3"]],
  ["right ends a break", "b@1 e@3", ["broke 1-3"]],
  ["right answers an open cue when nothing else is open", "x@1 e@3", ["down 1", "did 3", "ex-down 3-"]],
  ["right ends the error before it answers", "v@0 u@1 w@2 h@3 e@4 e@5", ["heel 0", "did 1", "ex-heel 1-5", "ahead 2-4", "halt 3", "did 5", "ex-sit 5-"]],
  ["right does nothing where nothing waits", "x@1 e@12", ["down 1"]],

  ["a whole down-stay", "x@1 u@2 n@30", ["down 1", "did 2", "ex-down 2-30", "release 30", "ex-free 30-"]],
  ["an answer after its window starts the exercise still", "x@1 u@15", ["down 1", "did 15", "ex-down 15-"]],
  ["did alone starts nothing", "u@2", ["did 2"]],
  ["no answer starts nothing", "x@1 i@2 u@3", ["down 1", "no-answer 2", "did 3", "ex-down 3-"]],
  ["a second cue is what is answered", "x@1 z@2 u@3", ["down 1", "sit 2", "did 3", "ex-sit 3-"]],
  ["a second did starts nothing again", "x@1 u@2 u@3", ["down 1", "did 2", "ex-down 2-", "did 3"]],
  ["an answered halt starts the sit, and heel work ends there", "V@1 h@5 u@6", ["ex-heel 1-6", "halt 5", "did 6", "ex-sit 6-"]],
  ["a cue for what runs already doesn't start it again", "v@1 u@2 v@5 u@6", ["heel 1", "did 2", "ex-heel 2-", "heel 5", "did 6"]],
  ["release while free is only a release", "n@1 n@5", ["release 1", "ex-free 1-", "release 5"]],
  ["the exercise key ends and starts by hand", "V@1 X@4 X@9", ["ex-heel 1-4", "ex-down 4-9"]],

  ["a cue for something else ends a stay", "X@1 v@5 u@7", ["ex-down 1-5", "heel 5", "did 7", "ex-heel 7-"]],
  ["so does come, that has no then", "X@1 c@5", ["ex-down 1-5", "come 5"]],
  ["its own cue, name and what asks for no exercise don't", "X@1 x@2 N@3 I@4", ["ex-down 1-", "down 2", "name 3", "leave it 4"]],
  ["a cue ends free time", "n@1 z@5", ["release 1", "ex-free 1-5", "sit 5"]],
  ["heel work goes on until the answer", "V@1 x@5 u@6", ["ex-heel 1-6", "down 5", "did 6", "ex-down 6-"]],
  ["a recall is over when come is answered", "c@1 C@1 u@5", ["come 1", "ex-recall 1-5", "did 5"]],

  ["out of position ends with the heel work", "V@1 w@2 q@3 n@5", ["ex-heel 1-5", "ahead 2-5", "off-task 3-", "release 5", "ex-free 5-"]],
  ["a break ends with its stay", "X@1 b@4 n@6", ["ex-down 1-6", "broke 4-6", "release 6", "ex-free 6-"]],
  ["out of position that has its end keeps it", "V@1 w@2 w@9 n@5", ["ex-heel 1-5", "ahead 2-9", "release 5", "ex-free 5-"]],
  ["heel work again does not touch it", "V@1 w@2 V@5", ["ex-heel 1-5", "ahead 2-5"]],

  ["digits are the level", "g@1 1 2", ["stim 1 {taps 1, level 12}"]],
  ["the last level is kept", "g@1 9 g@5", ["stim 1 {taps 1, level 9}", "stim 5 {level 9, taps 1}"]],
  ["held stim takes the level of its channel", "g@1 9 G@5 G@6", ["stim 1 {taps 1, level 9}", "stim-held 5-6 {level 9}"]],
  ["a level with decimals", "g@1 1 . 5", ["stim 1 {taps 1, level 1.5}"]],
  ["above the scale's end nothing happens", "g@1 1 0 1", ["stim 1 {taps 1, level 10}"]],
  ["level 0", "g@1 0", ["stim 1 {taps 1, level 0}"]],
  ["within a second a tap more", "t@1 t@1.4 t@2.3", ["tone 1 {taps 3}"]],
  ["the second has its end in it, counted from the press before", "t@1 t@2 t@3.0", ["tone 1 {taps 3}"]],
  ["later it is another", "t@1 t@2.000001", ["tone 1 {taps 1}", "tone 2.000001 {taps 1}"]],
  ["a word again within a second", "r@1 r@1.5", ["voice 1 {taps 2}"]],
  ["another key between makes no difference", "t@1 p@1.2 t@1.6", ["tone 1 {taps 2}", "praise 1.2"]],
  ["a press before it in time is another", "t@5 t@4.5", ["tone 4.5 {taps 1}", "tone 5 {taps 1}"]],

  ["a digit chooses the kind", "y@1 2 p@2 2 b@3 1", ["turn 1 {kind right}", "praise 2 {kind touch}", "broke 3- {kind left}"]],
  ["another digit chooses again, one without a kind nothing", "y@1 2 3 7", ["turn 1 {kind about}"]],
  ["the kind can be told at the end as well", "q@1 q@3 1", ["off-task 1-3 {kind scent}"]],
  ["the same key at the same frame is the same event", "p@1 p@1 2", ["praise 1 {kind touch}"]],
];

for (const [name, script, want] of scripts) test(name, () => equal(coded(script).list(), want, script));

test("each press is one edit, a digit one more", () => equal(coded("v@0 u@1 w@2 s@3 n@9 g@10 1 2").edits, 8));

test("a key held becomes a span", () => {
  const b = new Bench();
  const { held } = b.press("f", 1);
  b.letGo(String(held), 3);
  equal(b.list(), ["leash-guide 1-3"]);
  b.press("f", 3.5);
  equal(b.list(), ["leash-guide 1-3", "leash-guide 3.5"], "a press after a held one is no tap of it");
});

test("what can be held", () => {
  const b = new Bench();
  equal(["f", "E", "G"].map((k) => b.press(k, 1).held), ["n1", "n2", "n3"], "either, and held pressure");
  equal(["w", "r", "V", "b", "p", "t"].map((k) => b.press(k, 2).held), [null, null, null, null, null, null], "all else");
});

test("letting go without media time, or of what has changed, does nothing", () => {
  const b = new Bench();
  const { held } = b.press("f", 1);
  equal(b.letGo(String(held), 1), null);
  equal(b.letGo("gone", 2), null);
  b.press("f", 1.5); // a tap
  b.letGo(String(held), 4);
  equal(b.list(), ["leash-guide 1-4"], "a held span has no taps");
  equal(b.letGo(String(held), 9), null, "is a span already");
});

test("an open span of a code that may be either is ended by its key", () => {
  const b = new Bench();
  b.events = [{ id: "a", code: "leash-guide", start_us: 1e6, end_us: null }, { id: "b", code: "help", start_us: 1e6, end_us: null }];
  b.press("f", 3);
  b.press("E", 4);
  equal(b.list(), ["leash-guide 1-3", "help 1-4"]);
});

test("the keys of wide and crowding change sides with the dog", () => {
  equal(coded("a@1 d@2").list(), ["wide 1-2", "crowding 2-"], "dog on the left");
  equal(coded("a@1 d@2", "right").list(), ["crowding 1-2", "wide 2-"], "dog on the right");
  equal(coded("w@1 s@2", "right").list(), ["ahead 1-2", "behind 2-"], "ahead and behind don't");
});

test("what is said", () => {
  const b = new Bench();
  /** @type {[string, number, string][]} */
  const presses = [["v", 0, "heel"], ["u", 1, "did, ex-heel on"], ["w", 2, "ahead on"], ["s", 3, "behind on"], ["e", 4, "behind off"], ["e", 5, "nothing to put right here"], ["a", 5.5, "wide on"], ["e", 5.5, "wide removed: it ended where it began"],
    ["g", 6, "stim"], ["9", 6, "stim 9"], ["g", 6.5, "stim ×2"], ["n", 7, "release, ex-free on"], ["x", 8, "down, ex-free off"]];
  for (const [key, at, want] of presses) {
    b.press(key, at);
    equal(b.said, want, `said after ${key}`);
  }
});

test("changes leave the given events alone", () => {
  const b = new Bench();
  b.press("w", 1);
  const before = b.events;
  const text = JSON.stringify(before);
  b.press("s", 2);
  ok(b.events !== before, "a new list");
  equal(JSON.stringify(before), text);
});
