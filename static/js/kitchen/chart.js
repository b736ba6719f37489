// The picture of the day in the kitchen, from the same numbers as the screen: fetched after the step can be seen, and drawn
// anew only when it would look different, so that a finger on it is not disturbed.

import { el } from "../lib/dom.js";
import { tideFigure } from "../pictures/figure.js";

const LOOKS_DIFFERENT_S = 300;

export function beginChart(kitchen) {
  document.querySelectorAll("link[data-later]").forEach((link) => link.setAttribute("media", "all"));
  let drawn = "";
  kitchen.drawTide = () => {
    const { bundle, retimed, units } = kitchen;
    const times = retimed.steps.map((step) => `${Math.floor(step.start / 60)}${step.status}`);
    const key = [bundle.plan.bake_id, bundle.plan.revision, kitchen.events.length, Math.floor(kitchen.now() / LOOKS_DIFFERENT_S), ...times].join(" ");
    if (key === drawn && document.querySelector("#screen .tide-figure")) {
      return el("figure", { class: "tide-figure", keep: true });
    }
    drawn = key;
    const figure = tideFigure(bundle.plan, retimed, units, kitchen.now(), "kitchen-tide");
    figure.classList.add("card", "card--flush");
    return figure;
  };
  kitchen.look();
}
