// In front of the oven: what is seen of the tray, one tap each. Nothing in there can be put off; past all that such a bake can
// need, the screen only says to take it out.

import { button, el, notice } from "../lib/dom.js";
import { doneWord } from "../lib/labels.js";
import { outBy, saidOfBake } from "../now/marked.js";
import { BAKE_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";
import { bakedWords, loadedAt } from "./oven.js";

const WAIT_S = 300;
const SEEN_S = 180; // nothing is brown before (common practice)

// What is said of it before it is known what to do.
export const ovenBroken = (kitchen) => kitchen.phrase("oven broken");
// Not baked yet.
export const bakesStill = ({ retimed }) => retimed.place !== "none";
// Pressed out, or about to be: what the dough needs next is the oven.
export const isNearOven = ({ bundle: { plan: { steps } } }, step) => steps.slice(0, steps.indexOf(step) + 1).some(({ kind }) => kind === "press");

// In the first line of the step: whose oven has just died looks nowhere else.
export function drawOvenMark(kitchen, step) {
  return bakesStill(kitchen) && isNearOven(kitchen, step) ? el("button", { class: "now__mark", type: "button", "data-key": "noOven", on: { click: () => kitchen.open("noOven") } }, ovenBroken(kitchen)) : null;
}

// Whether the oven is hot is asked, not assumed: before loading the tray can wait.
export function drawHot(kitchen, step) {
  if (step.kind !== "load" || stepNow(kitchen.retimed, step).start > kitchen.now()) {
    return null;
  }
  return el(
    "div",
    { role: "group", "aria-label": kitchen.phrase("is the oven hot") },
    button(kitchen.phrase("not hot yet"), () => kitchen.tell(["later", { until: kitchen.now() + WAIT_S, heats: true }]), { kind: "quiet wide", key: "not-hot", says: true }),
  );
}

// Null unless a tray is in that this step belongs to, long enough to be looked at. `then()`: once it is said.
export function drawBaking(kitchen, step, then = () => {}) {
  const loaded = BAKE_KINDS.includes(step.kind) ? loadedAt(kitchen, step) : 0;
  if (!loaded || (step.kind === "turn-down" && kitchen.now() < loaded + SEEN_S)) {
    return null;
  }
  const latest = outBy(kitchen.bundle.plan, kitchen.state, loaded);
  if (kitchen.now() >= latest) {
    return takeOut(kitchen, loaded);
  }
  const { start } = stepNow(kitchen.retimed, liftOf(kitchen, step));
  const full = start >= latest;
  const last = kitchen.state.baking.filter((one) => one.at >= loaded).pop();
  const say = (one) => {
    then();
    tell(kitchen, step, one);
  };
  // A pale base moves the tray too; two minutes from now mean nothing to one that stays in longer.
  const helps = (said) => !full && (said !== "more" || saidOfBake({ at: kitchen.now(), said }, start, 0) > start);
  const seen = Object.keys(kitchen.words.baking).filter((one) => one === "top-dark" || helps(one));
  return el(
    "div",
    { class: "ask", role: "group", "aria-label": kitchen.phrase("how does it look") },
    el("p", { class: "ask__words" }, (last && kitchen.words.help[`baking-${last.said}`]?.replace("{out}", kitchen.format.clock(start))) ?? kitchen.phrase("how does it look")),
    el("div", { class: "ask__answers" }, seen.map((one) => button(kitchen.words.baking[one], () => say(one), { kind: "quiet", key: `baking-${one}`, says: true }))),
    el("p", { class: "soft" }, kitchen.phrase("out by", { at: kitchen.format.clock(latest) })),
  );
}

// At the look at the base an answer is the look.
const tell = (kitchen, step, seen) => kitchen.tell(...(step.kind === "check" ? [["done", { step_id: step.step_id }]] : []), ["baking", { seen }]);

function liftOf({ bundle }, step) {
  const { steps } = bundle.plan;
  return steps.slice(steps.indexOf(step)).find((one) => one.kind === "lift") ?? step;
}

function takeOut(kitchen, loaded) {
  const minutes = Math.floor((kitchen.now() - loaded) / 60);
  return notice(
    "careful",
    el("p", { "data-take-out": true }, el("strong", {}, `${kitchen.phrase("take it out now")} `), `${kitchen.phrase("needs less", { minutes, needed: bakedWords(kitchen) })} ${kitchen.words.said.burns} ${kitchen.phrase("if it smokes oven off")}`),
    el("p", {}, kitchen.phrase("is it out already", { out: doneWord(kitchen, "lift") })),
  );
}
