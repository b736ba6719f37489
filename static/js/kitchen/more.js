// Everything on the kitchen screen that is not the current step: loaded once that can be seen.

import { button, el, picture } from "../lib/dom.js";
import { drawFridgeClock } from "./out_of_fridge.js";
import { drawAlsoDue as drawDueToo } from "../step/also_due.js";
import { drawAskLast } from "../step/ask.js";
import { drawCarry } from "../step/carry.js";
import { drawOvenAhead as drawOvenOnly } from "../step/oven.js";
import { drawShelf } from "./other_bakes.js";
import { drawFlag, drawStanding } from "./standing.js";
import { drawSteps } from "./steps_list.js";

export { drawInstead, drawNotes, drawNotesMark } from "./notes.js";
export { drawBaking, drawHot } from "../step/baking.js";
export { drawOven } from "../step/oven.js";
export { drawAsk } from "../step/ask.js";
export { drawNothing, drawTooNew } from "../step/instead.js";
export { undoBar } from "../step/undo_bar.js";
export { drawPanNote, drawWeigh, textBeside } from "../step/weigh_list.js";
export { drawFlag, drawShelf };

// Under the buttons of the step.
export const drawOvenAhead = (kitchen, step) => [drawAskLast(kitchen, step), drawOvenOnly(kitchen, step)];

// What is to be done beside the step: where the dough goes, and what is due too.
export const drawAlsoDue = (kitchen, current) => [drawCarry(kitchen, current), drawDueToo(kitchen, current)];

export function drawBelow(kitchen) {
  return [
    drawFridgeClock(kitchen),
    drawStanding(kitchen),
    kitchen.forgotten ? null : kitchen.drawTide?.() ?? null,
    drawTools(kitchen),
    drawSteps(kitchen),
    kitchen.drawRings?.(kitchen) ?? null,
    drawShelf(kitchen),
  ];
}

// What the person can say at any time: [sheet, words, picture, what it is about, key].
const TOOLS = [
  ["glass", "Read the glass", "glass"],
  ["warmth", "The room is at …", "thermometer", "room", "room"],
  ["warmth", "The dough is at …", "dough", "dough", "felt"],
  ["dough", "Move the dough", "fridge"],
  ["pan", "Another pan", "pan-rectangle"],
];

function drawTools(kitchen) {
  if (!kitchen.retimed.current) {
    return null;
  }
  return el(
    "section",
    { class: "tools", "aria-label": "Tell the kitchen" },
    TOOLS.map(([name, words, pic, about, key = name]) => button(words, () => kitchen.open(name, about), { kind: "quiet", pic, key })),
  );
}

export function drawOver(kitchen) {
  const { plan } = kitchen.bundle;
  const said = kitchen.state.outcome.length + kitchen.state.notes.length > 0;
  return el(
    "section",
    { class: "card stack" },
    el("h2", { class: "big" }, kitchen.forgotten ? `This bake was for ${kitchen.format.dayClock(kitchen.state.supper, kitchen.now())}` : "All done. Eat."),
    kitchen.forgotten ? el("p", {}, "Nothing was told to the kitchen since, so nothing rings any more. What was done can still be said in the list of steps.") : null,
    el("p", {}, said ? "How it came out is written down." : "How did it come out? It goes into the book, now or when the server answers again."),
    button(said ? "Say more" : "How it came out", () => kitchen.open("cameOut"), { kind: said ? "quiet" : "wide", pic: "check", key: "came-out" }),
    el("p", {}, el("a", { class: "button button--quiet", href: `/book/${plan.bake_id}` }, picture("book"), "To the book")),
  );
}
