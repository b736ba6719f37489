// The tide chart in the kitchen: drawn from a bundle with no connection (svg.js is the twin of webapp/pictures/svg.py).
//
//   tideFigure(kitchen)     -> <figure>, narrow and wide picture, caption, readout, table

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

export function pictureOf(plan, retimed, local, now, size, uid) {
  const shapes = chart(plan, retimed, local, SIZES[size], now);
  return draw(shapes, uid, local.phrase("chart title", { title: plan.title }), describe(plan, retimed, local), local);
}

export function tideFigure(kitchen) {
  const { bundle: { plan }, retimed, units } = kitchen;
  const local = localFor(plan.zone, units, kitchen);
  const now = kitchen.now();
  const figure = document.createElement("figure");
  figure.className = "tide-figure";
  for (const [size, only] of [["narrow", "only-narrow"], ["wide", "only-wide"]]) {
    const view = document.createElement("div");
    view.className = `tide-view ${only}`;
    view.dataset.keys = local.phrase("chart keys");
    view.dataset.readout = readout(chart(plan, retimed, local, SIZES[size], now), local, units.heat_unit);
    // Every text in this markup is escaped where it is put in.
    view.innerHTML = pictureOf(plan, retimed, local, now, size, `kitchen-tide-${size}`);
    figure.append(view);
  }
  const said = document.createElement("output");
  said.className = "tide-readout";
  const caption = document.createElement("figcaption");
  caption.textContent = waits(plan, retimed, local);
  figure.append(said, table(plan, rows(plan, retimed, local), local), caption); // a caption comes last
  readable(figure);
  return figure;
}

function table(plan, lines, local) {
  const make = (tag, text, ...kids) => {
    const node = document.createElement(tag);
    node.append(...(text ? [text] : []), ...kids);
    return node;
  };
  const head = make("tr", "", ...[local.phrase("chart when"), local.phrase("chart step"), local.phrase("chart needs"), local.phrase("chart rise")].map((name) => make("th", name)));
  const body = lines.map((line) => make("tr", "", ...line.map((cell, i) => make(i === 1 ? "th" : "td", cell))));
  const whole = [make("caption", local.phrase("chart steps", { title: plan.title })), make("thead", "", head), make("tbody", "", ...body)];
  return make("details", "", make("summary", local.phrase("chart table")), make("table", "", ...whole));
}
