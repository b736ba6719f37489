// What was made of an over-pour, told above the list that follows from it, with the way back.

import { LIVED, MOST, lineId, percentOf } from "../scale/mending.js";
import { button, el, notice } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { capital } from "../lib/labels.js";

// Salt or fat that is lived with, named in percent.
export function livedNote(kitchen, lines, kind) {
  const told = new Map(kitchen.state.poured.filter((one) => one.kept).map((one) => [one.line, one.grams]));
  const [now, planned] = [told, null].map((one) => trimmed(percentOf(kind, lines, one), 1));
  const words = () => el("p", {}, `${kitchen.phrase("more than planned", { kind: capital(kind), now, planned })}${staysWords(kitchen, kind, Number(now))}`);
  return Number(now) > Number(planned) ? mendNote(kitchen, words(), lines, (one, line) => one.kept && line.kind === kind) : null;
}

// What so many percent of it do to the bread.
export function staysWords({ words: { help } }, kind, percent) {
  return help[`${percent <= LIVED[kind] ? "more" : percent <= MOST[kind] ? "over" : "past"}-${kind}`] ?? "";
}

// What was made of an over-pour, and the way back for each of them that `holds(poured, line)`.
export function mendNote(kitchen, words, lines, holds) {
  const back = ({ line: id, grams }) => {
    const line = lines.find((one) => lineId(one) === id);
    const much = `${line.name}, ${kitchen.format.grams(grams)}`;
    return button(kitchen.phrase("take back what", { what: much }), () => notMore(kitchen, id), { kind: "quiet", pic: "undo", key: `not-more-${id}`, says: true });
  };
  const told = kitchen.state.poured.filter((one) => holds(one, lines.find((line) => lineId(line) === one.line)));
  return el("div", { class: "stack stack--tight", "data-mended": true }, notice("", words, told.map(back)));
}

// It did not go in after all, nor was it weighed.
export const notMore = (kitchen, id) => kitchen.undo(({ kind, data }) => (kind === "poured" || kind === "weighed") && data.line === id);
