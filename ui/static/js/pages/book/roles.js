// @ts-check
// What a code of each role may say of itself, and words for roles.

/**
 * @typedef {object} Detail
 * @property {string} field
 * @property {string} label
 * @property {"text" | "number" | "whole" | "select" | "channel"} [as]
 * @property {string[]} [choices]
 * @property {string} [hint]
 */

const KIND = (/** @type {string[]} */ ...choices) => ({ field: "kind", label: "Kind", choices });

/** @type {Record<string, Detail[]>} */
export const DETAILS = {
  exercise: [
    { field: "kind", label: "Kind", as: "select", choices: ["heel", "stay", "place", "recall", "free", "other"] },
    { field: "posture", label: "Posture", choices: ["sit", "down", "stand"] },
    { field: "command", label: "Its own cue", hint: "That cue while the dog is out of it is a reminder, no new trial." },
    { field: "planned_s", label: "Planned length, seconds", as: "number" },
    { field: "handler_m", label: "Handler's distance, metres", as: "number" },
  ],
  error: [KIND("ahead", "behind", "wide", "crowding")],
  off_task: [KIND()],
  cue: [{ field: "command", label: "Command", hint: "What is asked for. “name”, “release” and “stay” open no trial by default." }, { field: "mode", label: "Given by", choices: ["voice", "hand", "body", "tone"] }],
  answer: [{ field: "result", label: "Result", as: "select", choices: ["did", "none", "other"] }],
  break: [KIND()],
  pressure: [
    { field: "channel", label: "Channel", as: "channel", hint: "One of the ladder." },
    { field: "device", label: "Device" },
    { field: "level", label: "Level", as: "number", hint: "What is recorded when no digits are typed. Levels record one dog, one collar, one day. They are not settings to copy." },
    { field: "taps", label: "Taps", as: "whole" },
  ],
  help: [KIND()],
  reward: [KIND("marker", "voice", "touch", "food", "toy")],
  offered: [KIND()],
  turn: [KIND("left", "right", "about")],
  pace: [KIND("slow", "normal", "fast")],
  halt: [{ field: "command", label: "What the dog does of itself", hint: "With a command a halt opens a trial." }],
  distraction: [KIND(), { field: "distance_m", label: "Distance, metres", as: "number" }],
  stress: [KIND()],
  line: [KIND("leash", "long line", "dragging", "off")],
  handler: [{ field: "who", label: "Who" }],
};

/** Every detail that a code can have, by field. */
export const ALL = new Map(Object.values(DETAILS).flat().map((d) => [d.field, d]));

/** @type {Record<string, string>} what each role means */
export const MEANS = {
  exercise: "what is being worked", error: "dog out of heel position", off_task: "dog's mind elsewhere, wherever it walks",
  cue: "handler asks for something", heard: "dog shows it took the cue in", answer: "what the dog did",
  break: "dog leaves a stay without release", pressure: "body, voice, leash, tone and the like", help: "help without pressure",
  reward: "marker, voice, touch, food, toy", offered: "dog offers attention or ease unasked", release: "handler sets the dog free",
  turn: "handler turns", pace: "handler changes pace or distance", halt: "handler stops", distraction: "what makes it harder",
  stress: "lip lick, yawn, tucked tail and the like", line: "leash, long line, off", handler: "who handles the dog",
  hidden: "dog not to be seen", remark: "a note; no measure reads it",
};

/** Roles that may start an exercise by what follows them. */
export const STARTS = ["cue", "halt", "release"];

/** @param {string} role @returns {string} as it is read */
export const roleName = (role) => role.replace("_", "-");

/** @type {Record<string, string>} */
const SHAPES = { span: "has a length", moment: "a moment", either: "a moment or a length" };

/** @param {string} shape */
export const shapeName = (shape) => SHAPES[shape] ?? shape;

/**
 * A new code that breaks no rule by itself.
 * @param {{id: string, name: string, role: string, shapes: string[], channel: string}} of
 */
export function newCode({ id, name, role, shapes, channel }) {
  const plain = name.replace(/[{}]/g, "");
  const shape = shapes[0] ?? "moment";
  const timed = shape === "span" ? `${plain}, {seconds} s` : plain;
  /** @type {any} */
  const code = { id, name, key: "", role, shape, definition: { starts: "" }, texts: { coder: timed, handler: timed, owner: role === "remark" ? "" : plain } };
  if (role === "exercise") code.kind = "other";
  if (role === "error") code.kind = name.toLowerCase();
  if (role === "cue") code.command = name.toLowerCase();
  if (role === "answer") code.result = "other";
  if (role === "pressure" && channel) code.channel = channel;
  return code;
}
