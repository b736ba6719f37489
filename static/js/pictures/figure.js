// The tide chart in the kitchen: drawn from a bundle with no connection (svg.js is the twin of webapp/pictures/svg.py).
//
//   tideFigure(kitchen, end) -> <figure>, narrow and wide picture, caption, readout, table

import { el } from "../lib/dom.js";
import { formatFor, knownZone } from "../lib/format.js";
import { draw, describe, readout, rows, waits } from "./svg.js";
import { chart } from "./chart.js";
import { readable } from "./probe.js";
import { SIZES } from "./shapes.js";

// `units` as the household reads clocks; `said`: who has the words of a bundle (`phrase`, `words.pegs`).
export function localFor(zone, units, said) {
  const words = formatFor(zone, units);
  const timeZone = knownZone(zone);
  const day = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long", timeZone });
  const name = (at, part) => day.formatToParts(at * 1000).find((one) => one.type === part).value;
  const date = (at) => `${name(at, "weekday")} ${name(at, "day")} ${name(at, "month")}`;
  return {
    clock: words.clock,
    dayClock: (at) => `${date(at)} ${words.clock(at)}`,
    face: words.face,
    half: words.half,
    day: (at) => name(at, "weekday").slice(0, 3),
    pegs: said?.words.pegs,
    phrase: (key, figures) => said.phrase(key, figures),
  };
}

export function tideFigure(kitchen, end) {
  const { bundle: { plan }, retimed, units } = kitchen;
  const local = localFor(plan.zone, units, kitchen);
  const now = kitchen.now();
  const views = [["narrow", "only-narrow"], ["wide", "only-wide"]].map(([size, only]) => {
    const shapes = chart(plan, retimed, local, SIZES[size], now, end);
    const view = el("div", { class: `tide-view ${only}`, "data-keys": local.phrase("chart keys"), "data-readout": readout(shapes, local, units.heat_unit) });
    // Every text in this markup is escaped where it is put in.
    view.innerHTML = draw(shapes, `kitchen-tide-${size}`, local.phrase("chart title", { title: plan.title }), describe(plan, retimed, local), local);
    return view;
  });
  const caption = el("figcaption", {}, waits(plan, retimed, local, end)); // it comes last
  const figure = el("figure", { class: "tide-figure" }, views, el("output", { class: "tide-readout" }), table(plan, rows(plan, retimed, local), local), caption);
  readable(figure);
  return figure;
}

function table(plan, lines, local) {
  const head = [local.phrase("chart when"), local.phrase("chart step"), local.phrase("chart needs"), local.phrase("chart rise")];
  const body = lines.map((line) => el("tr", {}, line.map((cell, i) => el(i === 1 ? "th" : "td", {}, cell))));
  const caption = el("caption", {}, local.phrase("chart steps", { title: plan.title }));
  return el("details", {}, el("summary", {}, local.phrase("chart table")), el("table", {}, caption, el("thead", {}, el("tr", {}, head.map((name) => el("th", {}, name)))), el("tbody", {}, body)));
}
