// @ts-check
// A book for the tests of the desk: the codes of the default book that they need.
import { Book } from "/assets/js/desk/book.js";

/** @param {string} id @param {string} key @param {string} role @param {string} shape @param {object} [more] */
const code = (id, key, role, shape, more = {}) => ({ id, name: id, key, role, shape, definition: {}, texts: {}, ...more });
const ex = (/** @type {string} */ id, /** @type {string} */ key, /** @type {string} */ kind, /** @type {string} */ command) => code(id, key, "exercise", "span", { kind, ...(command && { command }) });
const cue = (/** @type {string} */ id, /** @type {string} */ key, /** @type {object} */ more = {}) => code(id, key, "cue", "moment", { command: id, ...more });

export const json = {
  name: "Test book", help_rank: 3,
  ladder: [{ channel: "voice", rank: 2 }, { channel: "leash-guide", rank: 2 }, { channel: "tone", rank: 3 }, { channel: "stim", rank: 6, level_max: 100 }, { channel: "stim", device: "B", rank: 6, level_max: 20 }],
  house: {},
  lanes: [
    { name: "exercise", exclusive: true, codes: [ex("ex-heel", "V", "heel", "heel"), ex("ex-sit", "Z", "stay", "sit"), ex("ex-down", "X", "stay", "down"), ex("ex-place", "A", "place", "place"), ex("ex-recall", "C", "recall", "come"), ex("ex-free", "O", "free", "")] },
    { name: "ahead or behind", exclusive: true, codes: [code("ahead", "w", "error", "span", { name: "ahead (forging)", kind: "ahead" }), code("behind", "s", "error", "span", { kind: "behind" })] },
    { name: "wide or crowding", exclusive: true, codes: [code("wide", "a", "error", "span", { kind: "wide" }), code("crowding", "d", "error", "span", { kind: "crowding" })] },
    { name: "attention", exclusive: true, codes: [code("off-task", "q", "off_task", "span", { picks: ["scent", "dog"] })] },
    { name: "cue", exclusive: false, codes: [cue("sit", "z", { then: "ex-sit" }), cue("down", "x", { then: "ex-down" }), cue("come", "c"), cue("heel", "v", { then: "ex-heel" }), cue("place", "M", { then: "ex-place" }), cue("leave it", "I"), cue("name", "N")] },
    { name: "release", exclusive: false, codes: [code("release", "n", "release", "moment", { then: "ex-free" })] },
    { name: "answer", exclusive: false, codes: [code("heard", "H", "heard", "moment"), code("did", "u", "answer", "moment", { result: "did" }), code("no-answer", "i", "answer", "moment", { result: "none" }), code("other", "o", "answer", "moment", { result: "other" })] },
    { name: "stay broken", exclusive: true, codes: [code("broke", "b", "break", "either", { picks: ["left", "got up"] })] },
    { name: "pressure", exclusive: false, codes: [
      code("voice", "r", "pressure", "moment", { channel: "voice" }),
      code("leash-guide", "f", "pressure", "either", { channel: "leash-guide" }),
      code("tone", "t", "pressure", "moment", { channel: "tone", texts: { coder: "Tone ×{taps}" } }),
      code("stim", "g", "pressure", "moment", { channel: "stim", texts: { coder: "Stim {level} ×{taps}" } }),
      code("stim-held", "G", "pressure", "span", { channel: "stim" })] },
    { name: "reward", exclusive: false, codes: [code("praise", "p", "reward", "moment", { kind: "voice", picks: ["voice", "touch"] })] },
    { name: "handler", exclusive: false, codes: [code("turn", "y", "turn", "moment", { picks: ["left", "right", "about"] }), code("halt", "h", "halt", "moment", { command: "sit", then: "ex-sit" })] },
    { name: "distraction", exclusive: false, codes: [code("distraction", "D", "distraction", "span", { kind: "other", picks: ["dog", "person"] })] },
    { name: "help", exclusive: false, codes: [code("help", "E", "help", "either", { picks: ["lure", "hand"] })] },
    { name: "picture", exclusive: true, codes: [code("hidden", "Q", "hidden", "span")] },
  ],
};

/** @param {string} [side] */
export const book = (side) => new Book(json, side);
