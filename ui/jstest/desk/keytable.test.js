// @ts-check
import { test, equal, ok } from "../assert.js";
import { Book } from "/assets/js/desk/book.js";
import { FIXED, bind, keyPlace, comboOf, digitOf } from "/assets/js/desk/keytable.js";
import { ACTIONS } from "/assets/js/desk/actions.js";
import { mapOf } from "/assets/js/desk/keymap.js";
import { json, book } from "./book.js";

/** @param {Partial<KeyboardEvent>} e */
const event = (e) => ({ code: "", key: "", shiftKey: false, ctrlKey: false, metaKey: false, altKey: false, ...e });

test("places of the keys of a book", () => {
  for (const [key, want] of /** @type {[string, string | null][]} */ ([["w", "KeyW"], ["W", "Shift+KeyW"], [";", "Semicolon"], ["1", null], ["é", null], ["ww", null], ["", null], [" ", null]]))
    equal(keyPlace(key), want, `keyPlace(${key})`);
});

test("a key goes by its place and Shift, whatever it carries and whatever Caps Lock does", () => {
  // On a French keyboard the key at W carries z; with Caps Lock, Z.
  equal(comboOf(event({ code: "KeyW", key: "z" })), "KeyW");
  equal(comboOf(event({ code: "KeyW", key: "Z" })), "KeyW", "with Caps Lock");
  equal(comboOf(event({ code: "KeyW", key: "Z", shiftKey: true })), "Shift+KeyW");
  equal(comboOf(event({ code: "KeyW", key: "w", altKey: true })), null, "with Alt");
});

test("undo goes by the letter, as everywhere", () => {
  // On a German keyboard z and y have changed places.
  equal(comboOf(event({ code: "KeyY", key: "z", ctrlKey: true })), "Ctrl+z");
  equal(comboOf(event({ code: "KeyY", key: "Z", metaKey: true, shiftKey: true })), "Ctrl+Shift+z", "with Cmd");
  equal(comboOf(event({ code: "KeyZ", key: "y", ctrlKey: true })), "Ctrl+y");
});

test("digits", () => {
  for (const [e, want] of /** @type {[Partial<KeyboardEvent>, string][]} */ ([
    [{ code: "Digit7", key: "è" }, "7"], [{ code: "Numpad0" }, "0"], [{ code: "NumpadDecimal" }, "."], [{ code: "Period" }, ""],
    [{ code: "Digit7", shiftKey: true }, ""], [{ code: "Digit7", ctrlKey: true }, ""], [{ code: "KeyA" }, ""],
  ])) equal(digitOf(event(e)), want, JSON.stringify(e));
});

test("every key of the table does something, and one thing", () => {
  const { keys } = bind(new Book({ lanes: [] }));
  for (const f of FIXED) {
    ok(ACTIONS[f.action], `nothing does ${f.action}`);
    const place = `${f.ctrl ? "Ctrl+" : ""}${f.shift ? "Shift+" : ""}${f.code}`;
    const bound = keys.get(place);
    ok(bound && "action" in bound && bound.action === f.action, `${place} does not do ${f.action}`);
  }
  equal(new Set(FIXED.map((f) => f.action)).size, FIXED.length, "actions");
});

test("the test book fits", () => {
  const { keys, conflicts } = bind(book());
  equal(conflicts, []);
  const w = keys.get("KeyW");
  ok(w && "code" in w && w.code.id === "ahead", "w is ahead");
});

test("keys that can't be", () => {
  const bad = structuredClone(json);
  const set = (/** @type {string} */ id, /** @type {string} */ key) => {
    for (const lane of bad.lanes) for (const c of lane.codes) if (c.id === id) c.key = key;
  };
  set("voice", "e");
  set("tone", "w");
  set("stim", "3");
  set("turn", ",");
  const { keys, conflicts } = bind(new Book(bad));
  equal(conflicts, [
    "“tone” and “ahead (forging)” have the same key w. It stands for “ahead (forging)”; change one of them in the codebook.",
    "“voice” can't have the key e: the desk needs it (the dog is right). Use its button, or change the key in the codebook.",
    "“stim” can't have the key 3: digits are levels and kinds. Use its button, or change the key in the codebook.",
    "“turn” can't have the key ,: the desk needs it (a frame back). Use its button, or change the key in the codebook.",
  ].sort((a, b) => order(a) - order(b)));
  ok(keys.get("KeyE") && "action" in /** @type {any} */ (keys.get("KeyE")), "e stays the desk's");
  ok(!keys.has("Digit3"), "digits stay free");
  // In the order of the book's lanes: voice, tone, stim, turn.
  function order(/** @type {string} */ text) {
    return ["“voice”", "“tone”", "“stim”", "“turn”"].findIndex((name) => text.startsWith(name));
  }
});

test("where the dog is, around the leg", () => {
  const cells = (/** @type {string} */ side) => [...Array(9).keys()].map((n) => {
    const c = mapOf(book(side)).get(n);
    return typeof c === "object" ? c.id : c ?? "";
  });
  equal(cells("left"), ["off-task", "ahead", "right", "wide", "leg", "crowding", "", "behind", ""]);
  equal(cells("right"), ["off-task", "ahead", "right", "crowding", "leg", "wide", "", "behind", ""]);
});
