// @ts-check
// The house rules. What the book doesn't give is shown grey: the default.
import { el } from "../../shared/dom.js";
import { button, lines, number, row, parseNumber } from "./fields.js";

/** @typedef {import("./editor.js").Editor} Editor */

const GROUPS = [
  { title: "Cues and answers", rules: [["answer_window_s", "An answer counts within"], ["prompt_limit_s", "Prompt is within"], ["name_s", "The name belongs to a cue within"]] },
  { title: "Position and stays", rules: [["join_s", "Errors are one bout across gaps of"], ["turn_s", "A turn is kept if no error begins within"], ["break_moment_s", "A break without a length ends with did, or after"]] },
  { title: "Pressure", rules: [["early_s", "Early: belongs to a ground that begins within"], ["late_s", "After right: counts within"], ["held_on_s", "Held on: longer than"], ["warning_s", "A milder step warns for"], ["rush_s", "Rushed: the next step sooner than"], ["unanswered_s", "Unanswered: longer than"], ["reward_s", "Rewarded: within"], ["stress_s", "A stress sign is near pressure for"]] },
];

/** @type {Record<string, string>} */
const DELAYS = {
  error_to_pressure: "out of position to pressure", off_task_to_pressure: "off-task to pressure", break_to_pressure: "break to pressure", cue_to_pressure: "cue to pressure",
  right_to_off: "dog right to pressure off", right_to_pressure: "dog right to pressure after it", did_to_reward: "did to reward", cue_to_repeat: "cue to its repeat", name_to_cue: "name to cue",
};

/** @type {Record<string, string>} */
const FINDINGS = {
  "no-warning": "first step above help without a warning", stalled: "third step the same, no change", rushed: "next step too soon", "over-ceiling": "level above the dog's ceiling",
  "after-right": "pressure after the dog was right", "held-on": "pressure held on after the dog was right", "no-ground": "pressure without a ground", unanswered: "error nobody answered",
  unrewarded: "right, and no reward", stress: "stress sign near pressure", "line-off": "leash pressure with the line off", "long-wear": "collar worn too long on one day",
};

/** @param {Editor} ed @returns {Node[]} */
export function house(ed) {
  const h = ed.draft.book.house;
  const std = ed.data.house;
  return [
    el("p", {}, "Limits that measures and findings follow. An empty field follows the default, shown in it."),
    ...GROUPS.map(({ title, rules }) => el("fieldset", { class: "rules" }, el("legend", {}, title),
      ...rules.map(([key, label]) => number(ed, { id: `h-${key}`, label, what: `house rule ${key}`, unit: "s", value: h[key], standard: std[key], set: (b, v) => put(b.house, key, v) })),
      ...(title === "Cues and answers" ? cues(ed, h, std) : []))),
    el("fieldset", { class: "rules" }, el("legend", {}, "Limits of the handler's own timing"), ...limits(ed, h, std)),
    findings(ed, h, std),
  ];
}

/** @param {any} object @param {string} key @param {any} value */
function put(object, key, value) {
  if (value === undefined) delete object[key];
  else object[key] = value;
}

/** @param {Editor} ed @param {any} h @param {any} std */
function cues(ed, h, std) {
  const part = (/** @type {string} */ key, /** @type {string} */ label) => number(ed, { id: `h-criterion-${key}`, label, whole: true, value: h.criterion?.[key], standard: std.criterion[key],
    set: (b, v) => {
      put((b.house.criterion ??= {}), key, v);
      if (Object.keys(b.house.criterion).length === 0) delete b.house.criterion;
    } });
  return [
    table(ed, "answer_windows_s", "An answer counts, by command, within", h, std),
    table(ed, "prompt_limits_s", "Prompt, by command, is within", h, std),
    part("clean", "Criterion: clean"), part("of", "Criterion: of the last"),
    listRule(ed, "no_trial", "Commands that ask for nothing, one a line", h, std),
  ];
}

/** @param {Editor} ed @param {string} key @param {string} label @param {any} h @param {any} std */
function listRule(ed, key, label, h, std) {
  const field = lines(ed, { id: `h-${key}`, label, value: h[key] ?? std[key], none: [], set: (b, v) => (b.house[key] = v) });
  field.append(button(`h-${key}-clear`, "as default", () => {
    ed.draft.change(`${key} as default`, (b) => delete b.house[key]);
    ed.focusFirst(`h-${key}`);
  }, { class: "as-default", disabled: h[key] === undefined, says: `${label}: as default` }));
  if (h[key] === undefined) field.classList.add("standing");
  return field;
}

/**
 * A rule by command: "come 30" on a line.
 * @param {Editor} ed @param {string} key @param {string} label @param {any} h @param {any} std
 */
function table(ed, key, label, h, std) {
  const id = `h-${key}`;
  const all = { ...std[key], ...h[key] };
  const input = el("textarea", { rows: Math.max(2, Object.keys(all).length), oninput: () => {
    const read = parseTable(input.value);
    if (typeof read === "string") {
      ed.view.raw.set(id, input.value);
      ed.view.why.set(id, read);
    } else {
      ed.view.raw.delete(id);
      ed.draft.change(`house rule ${key}`, (b) => {
        // A line that says what the default says is no rule of the book's own.
        const own = Object.fromEntries(Object.entries(read).filter(([k, v]) => std[key][k] !== v || h[key]?.[k] !== undefined));
        for (const k of Object.keys(std[key])) if (!(k in read) && h[key]?.[k] === undefined) delete own[k];
        put(b.house, key, Object.keys(own).length > 0 ? own : undefined);
      }, { merge: id, quiet: true });
    }
    ed.showProblems();
  }, onchange: () => ed.draft.settle() });
  input.value = ed.view.raw.get(id) ?? Object.entries(all).map(([k, v]) => `${k} ${v}`).join("\n");
  const field = row(id, label, "A command and seconds on each line. Commands left out follow the default.", input,
    button(`${id}-clear`, "as default", () => {
      ed.view.raw.delete(id);
      ed.draft.change(`${key} as default`, (b) => delete b.house[key]);
      ed.focusFirst(id);
    }, { class: "as-default", disabled: h[key] === undefined, says: `${label}: as default` }));
  if (h[key] === undefined) field.classList.add("standing");
  return field;
}

/** @param {string} typed @returns {Record<string, number> | string} a sentence for what can't be read */
export function parseTable(typed) {
  /** @type {[string, number][]} */
  const out = [];
  for (const line of typed.split("\n").map((s) => s.trim()).filter(Boolean)) {
    const at = line.lastIndexOf(" ");
    const n = at > 0 ? parseNumber(line.slice(at + 1).replace(/s$/, "")) : null;
    const command = line.slice(0, at).trim();
    if (n === null || n === undefined) return `“${line}” is no command with seconds, such as “come 30”.`;
    if (out.some(([k]) => k === command)) return `“${command}” stands there twice.`;
    out.push([command, n]);
  }
  return Object.fromEntries(out);
}

/** @param {Editor} ed @param {any} h @param {any} std @returns {Node[]} */
function limits(ed, h, std) {
  const own = h.limits_s ?? {};
  return [...new Set([...ed.data.delays, ...Object.keys(own)])].map((delay) => {
    const id = `h-limits_s-${delay}`;
    const given = delay in own;
    const now = given ? own[delay] : std.limits_s[delay];
    const label = DELAYS[delay] ?? delay;
    const state = !given ? "default" : own[delay] === null ? "none" : own[delay].most !== undefined ? "most" : "least";
    const tell = (/** @type {any} */ l) => (!l ? "no limit" : l.most !== undefined ? `at most ${l.most} s` : `at least ${l.least} s`);
    /** @param {string} side @param {number | undefined} n */
    const write = (side, n) => ed.draft.change(`limit of ${label}`, (b) => {
      const all = (b.house.limits_s ??= {});
      if (side === "default") delete all[delay];
      else if (side === "none") all[delay] = null;
      else {
        const rest = Object.fromEntries(Object.entries(all[delay] ?? {}).filter(([k]) => k !== "most" && k !== "least"));
        all[delay] = n === undefined ? rest : { [side]: n, ...rest };
      }
      if (Object.keys(all).length === 0) delete b.house.limits_s;
    });
    const side = el("select", { onchange: () => write(side.value, now?.most ?? now?.least ?? 1) },
      el("option", { value: "default" }, `as default (${tell(std.limits_s[delay])})`), el("option", { value: "none" }, "no limit"), el("option", { value: "most" }, "at most"), el("option", { value: "least" }, "at least"));
    side.value = state;
    const field = row(id, label, undefined, side);
    if (state === "most" || state === "least") {
      const n = number(ed, { id: `${id}-s`, label: `${label}, seconds`, value: own[delay]?.[state], set: (b, v) => {
        if (v === undefined) delete b.house.limits_s[delay][state];
        else b.house.limits_s[delay][state] = v;
      } });
      return el("div", { class: "pair-line" }, field, n);
    }
    return field;
  });
}

/** @param {Editor} ed @param {any} h @param {any} std */
function findings(ed, h, std) {
  const off = new Set(h.off ?? std.off);
  const names = [...new Set([...ed.data.findings, ...off])];
  return el("fieldset", { class: "rules findings" }, el("legend", {}, "Findings"),
    el("p", { class: "hint" }, "What is ticked is reported."),
    ...names.map((name) => {
      const box = el("input", { type: "checkbox", id: `h-off-${name}`, onchange: () => ed.draft.change(`finding ${name} ${box.checked ? "on" : "off"}`, (b) => {
        const now = new Set(b.house.off ?? std.off);
        if (box.checked) now.delete(name);
        else now.add(name);
        b.house.off = names.filter((n) => now.has(n));
      }) });
      box.checked = !off.has(name);
      return el("label", { class: "finding", for: `h-off-${name}` }, box, el("b", {}, name), FINDINGS[name] ? `: ${FINDINGS[name]}` : ": not known to this version");
    }),
    el("p", {}, button("h-off-clear", "as default", () => {
      ed.draft.change("findings as default", (b) => delete b.house.off);
      ed.focusFirst("h-off-" + names[0]);
    }, { class: "as-default", disabled: h.off === undefined, says: "Findings: as default" })));
}
