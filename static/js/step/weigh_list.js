// Weigh out: lines in pouring order with big grams, a tick each, and a mend when too much went in.

import { stillSaid } from "../now/journal.js";
import { thickerS } from "../now/marked.js";
import { MIXING_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";
import { LIVED, lineId, mended } from "../scale/mending.js";
import { asPoured, rescaled } from "../scale/weighing.js";
import { button, el, notice, picture, saying } from "../lib/dom.js";
import { duration, held, mass, trimmed } from "../lib/format.js";
import { noteOf } from "./dose.js";
import { livedNote, mendNote } from "./mend_notes.js";
import { doughFactor, forPan, panFactor } from "./other_pan.js";

const LEAST_MORE = 1.02; // nobody sees less on a tray
const weighs = (kitchen, step) => MIXING_KINDS.includes(step.kind) && kitchen.bundle.plan.lines.length > 0;

// The plan's own list, or that of the yeast that is taken instead.
export function linesOf({ bundle: { plan }, state }) {
  return plan.other_yeasts?.find((one) => one.kind === state.yeast)?.lines ?? plan.lines;
}

// The list as it is to be weighed now: with this yeast, for this pan, after what was poured.
function linesNow(kitchen, pan = panFactor(kitchen), poured = kitchen.state.poured) {
  const planned = linesOf(kitchen);
  const step_g = kitchen.bundle.plan.scale_step_g || 1;
  const mixed = doughFactor(kitchen);
  const wanted = rescaled(planned, mixed, step_g);
  const { lines, factor } = mended(wanted, poured, step_g);
  const takes_g = (doughOf(wanted) * pan) / mixed; // this pan
  const left_g = doughOf(lines) - cutOff(kitchen);
  const shown = (one) => asPoured(one, planned, kitchen.words.yeast_water);
  return { wanted: shown(wanted), lines: shown(lines), all: lines, factor, times: left_g / takes_g, over_g: left_g - takes_g };
}

// A piece of this dough that is another supper's, g.
const cutOff = ({ bundle: { plan } }) => (plan.kept?.spare && plan.kept.mixed_here ? plan.kept.grams : 0);

const doughOf = (lines) => lines.reduce((sum, line) => sum + (line.part === "dough" ? line.weigh_g : 0), 0);

export function drawWeigh(kitchen, step) {
  if (!weighs(kitchen, step)) {
    return null;
  }
  const { wanted, lines, all, factor } = linesNow(kitchen);
  const part = (line) => (step.kind === "preferment") === (line.part !== "dough");
  const pan = doughFactor(kitchen);
  const here = lines.filter(part);
  const yeast = kitchen.bundle.plan.other_yeasts?.length > 0 && here.some((line) => line.kind === "yeast" && !kitchen.state.weighed.includes(lineId(line)));
  const rows = here.map((line) => row(kitchen, line, wanted[lines.indexOf(line)], pan * factor));
  return el(
    "div",
    { class: "stack stack--tight" },
    pan === 1 ? null : notice("", el("p", {}, kitchen.phrase("for the pan", { pan: kitchen.state.pan || kitchen.phrase("the other pan"), times: trimmed(pan, 2) }))),
    factor === 1 ? null : mendNote(kitchen, el("p", {}, mendWords(kitchen, all, factor)), all, (one) => !one.kept),
    Object.keys(LIVED).map((kind) => livedNote(kitchen, all, kind)),
    el("ul", { class: "weigh", "aria-label": kitchen.phrase("weigh out") }, rows),
    el(
      "div",
      { class: "now__buttons" }, // below the rows, which stay where they are
      button(kitchen.phrase("too much went in"), () => kitchen.open("poured", () => asked(kitchen, part)), { kind: "quiet", key: "over" }),
      yeast && button(kitchen.phrase("other yeast"), () => kitchen.open("yeast", here[0].part), { kind: "quiet", key: "yeast" }),
    ),
  );
}

// What is asked for of each line of this part as things stand, and what the formula wants of it (`due`), but for what was said of that line itself: its last word counts
// alone, more or less than the one before. `grown(id, grams)`: the dough if so much of a line stays and all else grows with it.
function asked(kitchen, part) {
  const { lines, all } = linesNow(kitchen);
  const without = (id) => kitchen.state.poured.filter((one) => one.line !== id);
  const rows = lines.filter(part).map((line) => {
    const wanted = linesNow(kitchen, undefined, without(lineId(line))).lines[lines.indexOf(line)];
    return { line, target: wanted.weigh_g, due: (wanted.yeast_g ?? wanted.grams) / (wanted.share ?? 1) };
  });
  const grown = (line, grams) => {
    const { all: bigger, factor, over_g } = linesNow(kitchen, undefined, [...without(line), { line, grams }]);
    return { dough_g: doughOf(bigger), factor, over_g };
  };
  return { rows, all, grown };
}

// What the step says beside its list, the oven's clock or its caution: not its amounts, nor the minute at which it was planned.
export const textBeside = (kitchen, step) => forPan(kitchen, step, step.beside ? "beside" : "text");

// A dough that is more than this pan takes: the rest is cut off, or all of it goes in and bakes longer; one that is less lies
// thinner.
export function drawPanNote(kitchen, step) {
  const { tray_times } = kitchen.state;
  const { times, over_g } = linesNow(kitchen);
  if (step.kind !== "press" || !(times >= LEAST_MORE || times <= 1 / LEAST_MORE)) {
    return null; // nor where there is no list
  }
  if (times > 1 && !tray_times && kitchen.bundle.plan.steps.some((one) => one.kind === "press" && one !== step && stepNow(kitchen.retimed, one).status !== "open")) {
    return null; // it was cut off before the first of several trays
  }
  if (times < 1) {
    const less_s = -thickerS(kitchen.bundle.plan, times);
    return notice("", el("p", {}, `${thickWords(kitchen, times)} ${less_s >= 30 ? kitchen.phrase("bakes less", { less: duration(less_s) }) : ""}`));
  }
  if (tray_times) {
    const longer_s = thickerS(kitchen.bundle.plan, tray_times);
    return notice("", el("p", {}, longer_s > 0 ? kitchen.phrase("all bakes longer", { more: duration(longer_s) }) : kitchen.phrase("all bakes as long")));
  }
  return notice(
    "",
    el("p", {}, kitchen.phrase(kitchen.bundle.plan.pans.reduce((sum, pan) => sum + pan.count, 0) > 1 ? "over the pans" : "over the pan", { over: kitchen.format.grams(over_g) })),
    button(kitchen.phrase("all of it goes in"), () => kitchen.tell(["tray", { times }]), { kind: "quiet", key: "all-in", says: true }),
  );
}

// What the journal is told with a pressing: a dough that is less than its pan wants lies thinner, all of it. Of one that is
// more the person says whether it goes in.
export function laidOut(kitchen, step) {
  const { times } = linesNow(kitchen);
  return step.kind === "press" && times <= 1 / LEAST_MORE ? [["tray", { times }]] : [];
}

// Lines of this part that nobody ticked, where others were: what the journal would be told of each, and its name. Who ticks none
// goes by a list of their own.
export function unticked(kitchen, step) {
  if (!weighs(kitchen, step)) {
    return [];
  }
  const here = linesNow(kitchen).lines.filter((line) => (step.kind === "preferment") === (line.part !== "dough"));
  const open = here.filter((line) => !kitchen.state.weighed.includes(lineId(line)));
  return open.length < here.length ? open.map((line) => ({ name: line.name, said: { line: lineId(line), grams: targetOf(kitchen, line) * (line.share ?? 1) } })) : [];
}

// What of the list is to be weighed now, in a line; "" at any other step.
export function listedNow(kitchen, step) {
  const { lines } = linesNow(kitchen);
  const part = (line) => (step.kind === "preferment") === (line.part !== "dough");
  return weighs(kitchen, step) ? `${lines.filter(part).map((line) => `${kitchen.format.grams(targetOf(kitchen, line))} ${line.name}`).join(", ")}.` : "";
}

export const thickWords = (kitchen, times) => kitchen.phrase("as thick as planned", { times: trimmed(times, 2) });

// How many times as thick as planned the dough would lie on so many times the planned floor.
export const thicknessOn = (kitchen, pan) => linesNow(kitchen, pan).times;

function mendWords(kitchen, lines, factor) {
  return kitchen.phrase("more went in", { dough: kitchen.format.grams(doughOf(lines)), percent: trimmed((factor - 1) * 100, 1) });
}

// What the scale should show of this line: at least what was poured.
function targetOf(kitchen, line) {
  const poured = kitchen.state.poured.find((one) => one.line === lineId(line));
  return poured ? Math.max(line.weigh_g, poured.grams / (line.share ?? 1)) : line.weigh_g;
}

function row(kitchen, line, wanted, times) {
  const id = lineId(line);
  const ticked = kitchen.state.weighed.includes(id);
  const poured = kitchen.state.poured.find((one) => one.line === id);
  const { share = 1 } = line;
  const target = targetOf(kitchen, line);
  const missing = target - inBowl(kitchen, id, ticked, poured, wanted.weigh_g * share) / share;
  const { format } = kitchen;
  const grams = format.grams(target);
  const note = noteOf(kitchen, line, target, times);
  const said = note ? el("span", { class: "weigh__note", id: `note-${id}` }, held(note)) : null;
  return el(
    "li",
    { class: ticked ? "weigh__row weigh__row--in" : "weigh__row" },
    el(
      "button",
      { class: "weigh__tick", type: "button", "aria-pressed": String(ticked), "data-key": `tick-${id}`, ...saying(), "aria-label": `${line.name}, ${grams}`, "aria-describedby": note ? `note-${id}` : null, on: { click: () => tick(kitchen, id, ticked, target * share) } },
      el("span", { class: "weigh__box", "aria-hidden": "true" }, ticked ? picture("good") : null),
      el("span", { class: "weigh__name" }, line.name),
      el("span", { class: "weigh__g num" }, grams),
      format.massUnit === "oz" ? el("span", { class: "soft num" }, mass(target)) : null,
    ),
    ticked && missing >= 0.005 ? el("p", { class: "weigh__more" }, kitchen.phrase("more goes in", { grams: kitchen.format.grams(missing) }), " ", button(kitchen.phrase("it is in"), () => tick(kitchen, id, false, target * share), { kind: "quiet", key: `more-${id}`, label: kitchen.phrase("that line is in", { line: line.name }), says: true })) : null,
    said,
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
