// Ways from here as a list: each row one tap, the least loss first. What helps, running late and what follows from a reading
// all show this.

import { el, saying } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { timesWords } from "./standing.js";
import { capital, doWords } from "../lib/labels.js";

const WAYS_AT_FIRST = 3;

// `take(way)` is called with the row that was tapped. `yes`: what a row says besides, before its name.
export function drawWays(kitchen, ways, take, yes = "") {
  const all = eachOnce(kitchen, ways);
  const first = rowsFirst(all);
  const others = all.filter((way) => !first.includes(way));
  const rows = (some) => el("ul", { class: "ways" }, some.map((way) => el("li", {}, row(kitchen, way, take, yes))));
  return [
    rows(first),
    others.length > 0 ? el("details", {}, el("summary", { "data-key": "more-ways" }, others.length === 1 ? kitchen.phrase("one more way") : kitchen.phrase("more ways", { count: others.length })), rows(others)) : null,
  ].filter(Boolean);
}

// A row differs from going on in what is eaten or when: else nobody carries anything for it.
function eachOnce(kitchen, ways) {
  const told = ({ result, supper, ...way }) => `${result} ${supper} ${risenWords(kitchen, way)}`;
  const going = ways.find((way) => way.kind === "as-planned");
  return ways.filter((way) => way === going || !going || way.out_s || told(way) !== told(going));
}

const SAME_S = 300;

// The same thing to do with about the same supper, though worked out a little later.
export const sameWay = (one, other) => one.kind === other.kind && Math.abs(one.supper - other.supper) <= SAME_S;

// Going on is always among them.
function rowsFirst(ways) {
  const first = ways.slice(0, WAYS_AT_FIRST);
  const going = ways.find((way) => way.kind === "as-planned");
  return !going || first.includes(going) ? first : [...first.slice(0, -1), going];
}

// A future that ends in the bin says so, and of no supper.
function row(kitchen, way, take, yes) {
  const { ways, plates, results, said } = kitchen.words;
  const [title, plate] =
    way.out_s
      ? [kitchen.phrase("not to be eaten", { way: ways[way.kind] }), kitchen.phrase("out by then", { spent: duration(way.out_s), act: said.throw })]
      : [`${titleOf(kitchen, way)}, ${results[way.result]}`, `${plates[way.result]} ${risenWords(kitchen, way)}`];
  return el(
    "button",
    { class: "way", type: "button", "data-key": `way-${way.kind}`, "data-way": way.kind, ...saying(), on: { click: () => take(way) } },
    el("strong", { class: "way__name" }, yes, title),
    el("span", {}, `${doWords(kitchen, way)}.`),
    el("span", { class: "soft" }, plate),
  );
}

// How risen the dough goes into the oven, as far as that is known.
function risenWords(kitchen, way) {
  const [low, likely, high] = [way.low, way.progress, way.high].map((progress) => timesWords(kitchen, progress));
  return low === high ? kitchen.phrase("risen", { likely }) : kitchen.phrase("risen between", { likely, low, high });
}

function titleOf(kitchen, way) {
  const act = way.kind === "cold-tray" && (way.press_at === 0 || way.press_at > kitchen.now() + 600) ? kitchen.phrase("tray into the fridge") : kitchen.words.ways[way.kind];
  const when = kitchen.phrase("eat", { at: kitchen.format.dayClock(way.supper, kitchen.now()) });
  return act ? `${act}, ${when}` : capital(when);
}
