// The picture of the day in the kitchen, from the same numbers as the screen: fetched after the step can be seen, and drawn
// anew only when it would look different, so that a finger on it is not disturbed.

import { el } from "../lib/dom.js";
import { currentOf, homeOf } from "../state/on_the_screen.js";
import { MIXING_KINDS } from "../plan/kinds.js";
import { tideFigure } from "../pictures/figure.js";

const LOOKS_DIFFERENT_S = 300;

// Answers a function that draws it ahead, for the next look.
export function beginChart(kitchen) {
  let drawn = "";
  let ahead = { key: "", figure: null };
  const isClosed = () => {
    const { step, timed } = currentOf(kitchen) ?? {};
    return MIXING_KINDS.includes(step?.kind) || timed?.start - kitchen.now() < 6 * LOOKS_DIFFERENT_S;
  };
  const keyOf = (closed) => {
    const { bundle, retimed } = kitchen;
    const times = retimed.steps.map((step) => `${Math.floor(step.start / 60)}${step.status}`);
    return [closed, bundle.plan.bake_id, bundle.plan.revision, kitchen.events.length, Math.floor(kitchen.now() / LOOKS_DIFFERENT_S), ...times].join(" ");
  };
  const figureOf = () => {
    const figure = tideFigure(kitchen, homeOf(kitchen)?.until);
    figure.classList.add("card", "card--flush");
    return figure;
  };
  kitchen.drawTide = () => {
    const closed = isClosed();
    const key = keyOf(closed);
    if (key === drawn && document.querySelector("#screen .tide-figure")) {
      return around(kitchen, closed, el("figure", { class: "tide-figure", keep: true }));
    }
    drawn = key;
    const figure = ahead.key === key ? ahead.figure : figureOf();
    ahead = { key: "", figure: null };
    return around(kitchen, closed, figure);
  };
  kitchen.look();
  return () => {
    ahead = { key: keyOf(isClosed()), figure: figureOf() };
  };
}

// Beside a list to weigh by, and while hands are wanted, the picture is closed.
const around = (kitchen, closed, figure) => (closed ? el("details", { class: "day-fold" }, el("summary", { "data-key": "day" }, kitchen.phrase("the day as a picture")), figure) : figure);
