// Everything on the kitchen screen that is not the current step: loaded once that can be seen.

import { el, picture } from "../lib/dom.js";
import { drawFridgeClock } from "./fridge_clock.js";
import { drawShelf } from "./shelf.js";
import { drawFlag, drawStanding } from "./standing.js";
import { drawSteps } from "./steps_list.js";
import { drawTools } from "./tools.js";

export { drawNotes } from "./notes.js";
export { drawOven } from "./oven_view.js";
export { drawPanNote, drawWeigh, textBeside } from "./weigh_list.js";
export { drawFlag, drawShelf };

export function drawBelow(kitchen) {
  return [
    drawFridgeClock(kitchen),
    drawStanding(kitchen),
    kitchen.drawTide?.() ?? null,
    drawTools(kitchen),
    drawSteps(kitchen),
    el("div", { id: "rings" }, kitchen.ringLine),
    drawShelf(kitchen),
  ];
}

export function drawOver(kitchen) {
  const { plan } = kitchen.bundle;
  return el(
    "section",
    { class: "card" },
    el("h2", { class: "big" }, "All done. Eat."),
    el("p", {}, "How did it come out? The book takes it down when the server can be reached."),
    el("p", {}, el("a", { class: "button", href: `/book/${plan.bake_id}` }, picture("book"), "To the book")),
  );
}
