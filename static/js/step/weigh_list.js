// Weigh out: lines in pouring order with big grams, a tick each, and a mend when too much went in.

import { stillSaid } from "../now/journal.js";
import { lineId, mended } from "../scale/mending.js";
import { asPoured, rescaled } from "../scale/weighing.js";
import { button, el, notice, picture, saying } from "../lib/dom.js";
import { held, trimmed } from "../lib/format.js";

const weighs = (kitchen, step) => (step.kind === "mix" || step.kind === "preferment") && kitchen.bundle.plan.lines.length > 0;

export function plannedArea(plan) {
  return plan.pans.reduce((sum, pan) => sum + pan.area_cm2 * pan.count, 0);
}

function panFactor(kitchen) {
  const planned = plannedArea(kitchen.bundle.plan);
  return kitchen.state.area_cm2 && planned ? kitchen.state.area_cm2 / planned : 1;
}

// The list as it is to be weighed now: for this pan, after what was poured.
function linesNow(kitchen) {
  const { plan } = kitchen.bundle;
  const step_g = plan.scale_step_g || 1;
  const wanted = rescaled(plan.lines, panFactor(kitchen), step_g);
  const { lines, factor } = mended(wanted, kitchen.state.poured, step_g);
  return { wanted: asPoured(wanted, plan.lines), lines: asPoured(lines, plan.lines), all: lines, factor };
}

export function drawWeigh(kitchen, step) {
  if (!weighs(kitchen, step)) {
    return null;
  }
  const { wanted, lines, all, factor } = linesNow(kitchen);
  const part = (line) => (step.kind === "preferment") === (line.part !== "dough");
  const rows = lines.filter(part).map((line) => row(kitchen, line, wanted[lines.indexOf(line)]));
  const pan = panFactor(kitchen);
  return el(
    "div",
    { class: "stack stack--tight" },
    pan === 1 ? null : notice("", el("p", {}, `For the other pan: ${trimmed(pan, 2)} times the planned dough, yeast too. The list counts, not the text above it.`)),
    factor === 1 ? null : notice("", el("p", {}, mendWords(kitchen, all, factor))),
    el("ul", { class: "weigh", "aria-label": "Weigh out in this order" }, rows),
    button("Too much went in", () => kitchen.open("poured", asked(kitchen, lines.filter(part))), { kind: "quiet", key: "over" }),
    yeastNote(kitchen, pan * factor),
  );
}

// What the step says beside its list: not its amounts nor how the yeast is weighed, which stand in the list.
export const textBeside = (kitchen, step) => (weighs(kitchen, step) ? step.beside || step.text : step.text);

// The yeast's own line says how it is weighed; for another dough than the planned one, how much more of it.
function yeastNote(kitchen, times) {
  const { yeast_dosing } = kitchen.bundle.plan;
  if (!yeast_dosing || times === 1) {
    return null;
  }
  return notice("", el("p", {}, `${yeast_dosing} That is for the planned dough: take ${trimmed(times, 2)} times as much of the yeast.`));
}

const ON_TOP = ["sauce", "drain", "cheese-out", "top"];

// Texts are written for the planned pan; what goes on top grows with it.
export function drawPanNote(kitchen, step) {
  const pan = panFactor(kitchen);
  if (pan === 1 || !ON_TOP.includes(step.kind)) {
    return null;
  }
  return notice("", el("p", {}, `For the other pan take ${trimmed(pan, 2)} times these amounts.`));
}

function mendWords(kitchen, lines, factor) {
  const total = lines.filter((line) => line.part === "dough").reduce((sum, line) => sum + line.weigh_g, 0);
  return `More went in than asked for: everything rises with it. The dough is ${kitchen.format.grams(total)} now, ${trimmed((factor - 1) * 100, 1)} % more. The list counts, not the text above it.`;
}

const asked = (kitchen, lines) => lines.map((line) => ({ line, target: targetOf(kitchen, line) }));

// What the scale should show of this line: at least what was poured.
function targetOf(kitchen, line) {
  const poured = kitchen.state.poured.find((one) => one.line === lineId(line));
  return poured ? Math.max(line.weigh_g, poured.grams / (line.share ?? 1)) : line.weigh_g;
}

function row(kitchen, line, wanted) {
  const id = lineId(line);
  const ticked = kitchen.state.weighed.includes(id);
  const poured = kitchen.state.poured.find((one) => one.line === id);
  const { share = 1 } = line;
  const target = targetOf(kitchen, line);
  const missing = target - inBowl(kitchen, id, ticked, poured, wanted.weigh_g * share) / share;
  const grams = kitchen.format.grams(target);
  return el(
    "li",
    { class: ticked ? "weigh__row weigh__row--in" : "weigh__row" },
    el(
      "button",
      { class: "weigh__tick", type: "button", "aria-pressed": String(ticked), "data-key": `tick-${id}`, ...saying(), "aria-label": `${line.name}, ${grams}`, on: { click: () => tick(kitchen, id, ticked, target * share) } },
      el("span", { class: "weigh__box", "aria-hidden": "true" }, ticked ? picture("good") : null),
      el("span", { class: "weigh__name" }, line.name, line.note ? el("span", { class: "weigh__note" }, held(line.note)) : null),
      el("span", { class: "weigh__g num" }, grams),
    ),
    ticked && missing >= 0.005 ? el("p", { class: "weigh__more" }, `${kitchen.format.grams(missing)} more goes in.`, " ", button("It’s in", () => tick(kitchen, id, false, target * share), { kind: "quiet", key: `more-${id}`, label: `${line.name}: it’s in`, says: true })) : null,
  );
}

// What is in the bowl of this line: what the tick was for, or what the scale was said to show.
function inBowl(kitchen, id, ticked, poured, wanted_g) {
  const ticks = stillSaid(kitchen.events).filter((event) => event.kind === "weighed" && event.data.line === id);
  const said = ticks.map((event) => (typeof event.data.grams === "number" ? event.data.grams : wanted_g));
  return Math.max(poured ? poured.grams : 0, ticked && said.length > 0 ? Math.max(...said) : 0);
}

function tick(kitchen, id, ticked, grams) {
  if (ticked) {
    return kitchen.undo((event) => event.kind === "weighed" && event.data.line === id);
  }
  return kitchen.tell(["weighed", { line: id, grams }]);
}
