// The tide chart in the page: drawn from a bundle with no connection (svg.js is the twin of webapp/pictures/svg.py), and a readout for
// pointer and arrow keys on any chart, whoever drew it.
//
//   tideFigure(kitchen)     -> <figure>, narrow and wide picture, caption, readout, table
//   the page’s own figures  get the readout when this script is loaded

import { formatFor, knownZone } from "../lib/format.js";
import { draw, describe, readout, rows, waits } from "./svg.js";
import { chart } from "./chart.js";
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
  const whole = make("table", "", make("caption", local.phrase("chart steps", { title: plan.title })), make("thead", "", head));
  whole.append(make("tbody", "", ...body));
  return make("details", "", make("summary", local.phrase("chart table")), whole);
}

function readable(figure) {
  const said = figure.querySelector(".tide-readout");
  for (const view of figure.querySelectorAll(".tide-view")) {
    probe(view, said);
  }
}

// A thread that follows the finger or the arrow keys, and what it reads off: as the figure is now, however often it was
// drawn anew under the finger.
function probe(view, said) {
  const svg = view.querySelector("svg");
  if (!svg) {
    return;
  }
  const line = document.createElementNS("http://www.w3.org/2000/svg", "line");
  line.setAttribute("class", "tide__probe");
  const points = () => JSON.parse(view.dataset.readout || "[]");
  let here = 0;
  const show = (i) => {
    const all = points();
    if (all.length === 0) {
      return;
    }
    here = Math.min(Math.max(i, 0), all.length - 1);
    const [share, words] = all[here];
    const { width } = svg.viewBox.baseVal;
    line.setAttribute("y1", 8);
    line.setAttribute("y2", svg.querySelector(".tide__base").getAttribute("y1"));
    line.setAttribute("x1", share * width);
    line.setAttribute("x2", share * width);
    svg.append(line);
    said.textContent = words;
  };
  const hide = () => {
    line.remove();
    said.textContent = "";
  };
  const nearest = (share) => points().reduce((best, point, i, all) => (away(point, share) < away(all[best], share) ? i : best), 0);
  const follow = (event) => {
    const box = svg.getBoundingClientRect();
    show(nearest((event.clientX - box.left) / box.width));
  };
  svg.addEventListener("pointermove", follow);
  svg.addEventListener("pointerdown", follow);
  svg.addEventListener("pointerleave", hide);
  view.tabIndex = 0;
  view.setAttribute("role", "group");
  view.setAttribute("aria-label", view.dataset.keys);
  view.addEventListener("keydown", (event) => {
    const { length } = points();
    const by = { ArrowLeft: -1, ArrowRight: 1, Home: -length, End: length }[event.key];
    if (by) {
      event.preventDefault();
      const begin = event.key === "End" || event.key === "ArrowLeft" ? length - 1 : 0;
      show(line.isConnected ? here + by : begin);
    }
  });
  view.addEventListener("blur", hide);
}

const away = ([share], wanted) => Math.abs(share - wanted);

document.querySelectorAll("[data-tide]").forEach(readable);
