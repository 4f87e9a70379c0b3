// @ts-check
// The shapes that the modules of the desk hand to each other.

/**
 * The revision of an event's content: the number that the server gave it, 0 for
 * an event that isn't there yet, or {after} while the edit with that id, which
 * made the content, still waits for its number.
 * @typedef {number | {after: string}} Rev
 */

/**
 * An event of a reading.
 * @typedef {object} Event
 * @property {string} id
 * @property {string} code
 * @property {number} start_us
 * @property {number | null} end_us null while open; start_us for a moment
 * @property {Record<string, any>} [details]
 * @property {string} [note]
 * @property {Rev} [rev]
 */

/**
 * What an edit does to events, and how a person would call it.
 * @typedef {object} Change
 * @property {Event[]} put
 * @property {string[]} remove
 * @property {string} label such as "behind on"
 */

/**
 * A reading's facts that an edit may set.
 * @typedef {object} Facts
 * @property {{start_us: number, end_us: number}} [window]
 * @property {boolean} [finished]
 */

/**
 * One event before and after an edit; null where there is none.
 * @typedef {{id: string, before: Event | null, after: Event | null}} Step
 */

/**
 * An edit that is not acknowledged yet, as it is kept in the browser's storage.
 * `steps` and `facts` say what it does to what is shown; an undo whose effect
 * this page doesn't know has none.
 * @typedef {object} Waiting
 * @property {string} id
 * @property {number} base revision it was made on
 * @property {string} label
 * @property {{event: Event, was: Rev}[]} put
 * @property {{id: string, was: Rev}[]} remove
 * @property {Facts} [set]
 * @property {number} [reach_us]
 * @property {string} [undo]
 * @property {string} [redo]
 * @property {Step[]} steps
 * @property {{before: Facts, after: Facts}} [facts]
 */

/**
 * Digits after a key: which event they belong to and what has been typed.
 * @typedef {{id: string, kind: "level" | "pick", typed: string}} Entry
 */

/**
 * A device of the dog that the session is worked with.
 * @typedef {{device: string, channel: string, level_max?: number | null}} Device
 */

export {};
