// The red bar at the foot: that it is time, what else is due, and the way there.

import { button, el } from "../lib/dom.js";
import { holdsUp } from "../state/actions.js";
import { outFirst, isInOven } from "../state/warm_oven.js";
import { forPan } from "../step/other_pan.js";
import { shortNameOf } from "../step/step.js";
import { MIXING_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";

const MOST_OTHERS = 2; // the words of the step stay in sight above them

// Its own bake comes on the screen, whichever is on: a notice of it was tapped, or its row in the bar.
export function openBake(kitchen, bake_id) {
  if (kitchen.shown !== bake_id) {
    location.hash = bake_id;
  }
}

export function stepOf(kitchen, { bake_id, step_id }) {
  return kitchen.bakes.get(bake_id).plan.steps.find((step) => step.step_id === step_id);
}

// The step on the screen says itself, what else is due of its bake stands under it; here are the others, what matters most
// first.
export function drawBar(kitchen, due) {
  if (due.length === 0) {
    return null;
  }
  const [here, others] = [due.filter(isHere), due.filter((ring) => !isHere(ring))];
  const spoken = here.map((ring) => stepOf(kitchen, ring)).map((step) => (isInOven(kitchen, step.kind) ? outFirst(kitchen).text : `${step.title}. ${firstOf(kitchen, step)}`));
  const elsewhere = others.filter((ring) => ring.bake_id !== kitchen.shown);
  const perhaps = others.filter((ring) => ring.bake_id === kitchen.shown && isAhead(kitchen, ring));
  const rows = [...perhaps, ...elsewhere.filter((ring) => ring === elsewhere.find((one) => one.bake_id === ring.bake_id))];
  const more = rows.length - MOST_OTHERS;
  return el(
    "div",
    { class: "alarm" },
    rows.length > 0 ? el("ul", { class: "alarm__others" }, more > 0 ? el("li", { key: "more" }, kitchen.phrase("and more", { count: more })) : null, rows.slice(0, MOST_OTHERS).reverse().map((ring) => row(kitchen, ring))) : null,
    el("strong", { class: rows.length > 0 ? "visually-hidden" : null }, kitchen.phrase("it is time"), spoken.length > 0 ? el("span", { class: "visually-hidden" }, `: ${spoken.join(" ")}`) : null),
    button(kitchen.phrase("quiet"), () => kitchen.hush(), { kind: "quiet", pic: "bell", key: "quiet" }),
  );

  function isHere(ring) {
    return `${ring.bake_id} ${ring.step_id}` === kitchen.step;
  }
}

// The first thing to do; of a list only that there is one, for what it asks for may have changed.
const firstOf = (kitchen, step) => (MIXING_KINDS.includes(step.kind) ? (kitchen.words.help.listed ?? "") : forPan(kitchen, step, "first"));

// Its time by the plan, while something before it was never said to be done.
function isAhead(kitchen, { bake_id, step_id }) {
  return kitchen.bakes.get(bake_id).retimed.steps.some((timed) => timed.step_id === step_id && timed.start > kitchen.now());
}

// When the first of those before it was done: with that said, what stands behind it goes on.
function askBefore(kitchen) {
  const open = kitchen.bundle.plan.steps.filter((step) => holdsUp(step) && stepNow(kitchen.retimed, step).status === "open");
  const [first] = open.sort((a, b) => kitchen.dueAt(a.step_id) - kitchen.dueAt(b.step_id));
  kitchen.open("when", first);
}

// What is due of this bake stands under its step already; of another one what matters most, and the way there.
function row(kitchen, ring) {
  const step = stepOf(kitchen, ring);
  const perhaps = isAhead(kitchen, ring) ? kitchen.phrase("if all before it is done") : "";
  const words = el("span", {}, el("strong", {}, step.title), perhaps);
  const key = `${ring.bake_id} ${ring.step_id}`;
  if (ring.bake_id === kitchen.shown) {
    return el("li", { key }, el("button", { type: "button", class: "alarm__other", "data-key": key, on: { click: () => askBefore(kitchen) } }, words));
  }
  words.append(` (${shortNameOf(kitchen, kitchen.bakes.get(ring.bake_id))})`);
  return el("li", { key }, el("button", { type: "button", class: "alarm__other", "data-key": key, on: { click: () => openBake(kitchen, ring.bake_id) } }, words));
}
