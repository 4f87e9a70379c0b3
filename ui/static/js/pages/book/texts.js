// @ts-check
// The texts of a code for captions: the named places explained, and how each text
// reads with sample values.
import { el } from "../../shared/dom.js";
import { area } from "./fields.js";

/** @typedef {import("./editor.js").Editor} Editor */
/** @typedef {{name: string, means: string, sample: string}} Place */

const FOR = /** @type {const} */ ([["coder", "For the coder: terse, everything"], ["handler", "For the handler: timing"], ["owner", "For the owner: plain words, no jargon, no levels"]]);

/**
 * A text with sample values in its places; a place that nothing fills stands there
 * as it was typed.
 * @param {string} text
 * @param {Place[]} places
 * @param {any} [code] its own kind goes before the sample
 */
export function preview(text, places, code = {}) {
  return text.replace(/\{([A-Za-z_]+)\}/g, (whole, name) => {
    const place = places.find((p) => p.name === name);
    if (!place) return whole;
    if (name === "kind") return code.picks?.[0] ?? code.kind ?? place.sample;
    if (name === "level" && code.level !== undefined) return String(code.level);
    return place.sample;
  });
}

/**
 * @param {Editor} ed
 * @param {string} id of the code
 * @param {any} code
 * @param {(b: any) => any} of
 */
export function texts(ed, id, code, of) {
  const places = /** @type {Place[]} */ (ed.data.places);
  return el("fieldset", {}, el("legend", {}, "Texts in captions"),
    el("details", { class: "places" }, el("summary", {}, "What can stand between braces"),
      el("dl", {}, ...places.flatMap((p) => [el("dt", {}, el("code", {}, `{${p.name}}`)), el("dd", {}, p.means)])),
      el("p", { class: "muted" }, "What is absent prints “–”.")),
    ...FOR.map(([audience, label]) => {
      const shown = el("p", { class: "preview", "data-preview": audience });
      const show = (/** @type {string} */ v) => {
        shown.replaceChildren(el("span", { class: "muted" }, "reads: "), v ? preview(v, places, code) : code.role === "remark" && audience === "owner" ? "(never shown to an owner)" : "(nothing)");
      };
      show(code.texts?.[audience] ?? "");
      const field = area(ed, { id: `${id}-texts-${audience}`, label, value: code.texts?.[audience],
        set: (b, v) => ((of(b).texts ??= { coder: "", handler: "", owner: "" })[audience] = v), typed: show });
      field.append(shown);
      return field;
    }));
}
