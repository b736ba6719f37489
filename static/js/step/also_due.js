// What is to be done beside the step that fills the screen: where the dough goes by the way that was taken, what is due too.

import { button, el, picture } from "../lib/dom.js";
import { doneWord } from "../lib/labels.js";
import { BAKE_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";
import { stillSaid } from "../now/journal.js";
import { drawBaking } from "./ask_oven.js";
import { loadedAt } from "./oven.js";
import { dueHere, isInHand } from "../state/on_the_screen.js";
import { outFirst, isInOven, isLit, takeOut } from "../state/warm_oven.js";

export const drawAlsoDue = (kitchen, current) => [drawInOven(kitchen, current), drawCarry(kitchen), drawDueToo(kitchen, current)];

// A load bakes while the next one is pressed or topped: it is looked at, too.
function drawInOven(kitchen, { step }) {
  const lift = BAKE_KINDS.includes(step.kind) ? null : kitchen.bundle.plan.steps.find((one) => one.kind === "lift" && stepNow(kitchen.retimed, one).status === "open" && loadedAt(kitchen, one));
  const answers = lift && drawBaking(kitchen, lift);
  return answers && el("section", { class: "also", "data-in-oven": true }, el("strong", {}, kitchen.phrase("bakes meanwhile", { at: kitchen.format.clock(stepNow(kitchen.retimed, lift).start) })), answers);
}

const MOVE_SHOWN_S = 1800; // so long a move that is due is shown, unless it was said to be done

// In the dock, over the button of the step: what stands in the wrong place cannot wait for what is on the screen.
export function drawMove(kitchen, { step }) {
  const due = dueMove(kitchen);
  const hot = step.kind !== "preheat" && isLit(kitchen) && isInOven(kitchen);
  if (!due && !hot) {
    return null;
  }
  const there = () => kitchen.tell(["moved", { place: due.place }]);
  const row = hot ? carried(kitchen, kitchen.phrase("now"), outFirst(kitchen).text, outButton(kitchen)) : carried(kitchen, kitchen.phrase("dough now"), kitchen.words.carry[due.place], button(kitchen.phrase("it is there"), there, { kind: "quiet", key: `carried-${due.at}`, says: true }));
  return el("ul", { class: "carry carry--now", "aria-label": kitchen.phrase("dough goes now") }, row);
}

// What the way asks for later.
function drawCarry(kitchen) {
  const now = kitchen.now();
  const rows = kitchen.retimed.moves.map((move) => carried(kitchen, kitchen.format.dayClock(move.at, now), kitchen.words.carry[move.place]));
  return rows.length > 0 ? el("ul", { class: "carry", "aria-label": kitchen.phrase("dough goes") }, rows) : null;
}

// The last one that the way asked for, as long as nobody said where the dough went.
export function dueMove({ state, events, retimed, now: clock }) {
  const now = clock();
  const way = isInHand(retimed) ? state.way : null;
  const moved = stillSaid(events).filter((event) => event.kind === "moved");
  const last = way ? state.moves.filter((move) => move.at >= way.at && move.at <= now).pop() : null;
  return last && last.at > now - MOVE_SHOWN_S && !moved.some((event) => event.at >= last.at) ? last : null;
}

function carried(kitchen, when, words, act = null) {
  return el("li", { class: "carry__row" }, picture("dough"), el("span", { class: "carry__what" }, el("strong", { class: "num" }, when), ` ${words}`), act);
}

// What is due too, and matters less: each with its own word that it is done.
function drawDueToo(kitchen, current) {
  const { step: here } = current;
  const steps = dueHere(kitchen).map(({ step_id }) => kitchen.bundle.plan.steps.find((step) => step.step_id === step_id));
  // A tray that is due out is turned round no more: the door stays shut until it is lifted.
  const others = steps.filter((step) => step !== here && !(here.kind === "lift" && step.kind === "turn" && step.load === here.load));
  if (others.length === 0) {
    return null;
  }
  const rows = others.map((step) => alsoDue(kitchen, step));
  return el("section", { class: "also", "aria-label": kitchen.phrase("due as well") }, el("ul", {}, rows));
}

const outButton = (kitchen) => button(doneWord(kitchen, "warm-out"), () => takeOut(kitchen), { kind: "quiet", key: "out-of-oven", says: true });

function alsoDue(kitchen, step) {
  const first = isInOven(kitchen, step.kind);
  const done = () => kitchen.tell(["done", { step_id: step.step_id }]);
  const words = doneWord(kitchen, step.kind);
  return el(
    "li",
    { class: "also__row", key: step.step_id },
    picture(step.kind),
    el("span", { class: "also__what" }, el("strong", {}, `${kitchen.phrase("due too")} `), first ? outFirst(kitchen).title : step.title),
    first ? outButton(kitchen) : button(words, done, { kind: "quiet", key: `done-too-${step.step_id}`, label: `${words}: ${step.title}`, says: true }),
  );
}
