// What the step asks before it is done: at pressing how far the dough has risen, by eye or by the glass; before the oven how
// it springs back. One tap, on the step itself.

import { button, el, notice } from "../lib/dom.js";
import { five } from "../lib/format.js";
import { observe } from "../state/observed.js";
import { stepNow } from "../plan/retimed.js";

const ASKED_AHEAD_S = 1800;
const GLASS = [1.5, 2, 2.5];

// Over the words of the step; at the hot oven what is to be done comes first, and the question after the button.
export const drawAsk = (kitchen, step) => (step.kind === "load" ? null : draw(kitchen, step));
export const drawAskLast = (kitchen, step) => (step.kind === "load" ? draw(kitchen, step) : null);

function draw(kitchen, step) {
  const { plan } = kitchen.bundle;
  const timed = stepNow(kitchen.retimed, step);
  const now = kitchen.now();
  const loading = step.kind === "load" || step.kind === "top";
  if ((!step.mark && step.kind !== "top") || timed.start > now + ASKED_AHEAD_S || !kitchen.retimed.place || kitchen.retimed.place === "oven") {
    return null;
  }
  const said = lastSaid(kitchen, loading, now);
  if (said) {
    return heeded(kitchen, step, said);
  }
  return loading
    ? question(kitchen, kitchen.phrase("poke it"), Object.entries(kitchen.words.pokes).map(([springs, words]) => [words, "poked", { springs }]))
    : question(kitchen, kitchen.phrase("first look"), Object.entries(kitchen.words.looks).map(([seen, words]) => [words, "looked", { seen }]), glassRow(kitchen));
}

// The glass, where there is one: the commonest readings are one tap too.
function glassRow(kitchen) {
  const reads = (times) => button(`×${times}`, () => observe(kitchen, "glass", { times }), { kind: "quiet", key: `glass-${times}`, label: kitchen.phrase("the glass reads", { times: `×${times}` }), says: true });
  const other = button(kitchen.phrase("other"), () => kitchen.open("glass"), { kind: "quiet", key: "ask-glass", label: kitchen.phrase("another reading") });
  return [el("p", { class: "soft" }, kitchen.phrase("or by the glass")), el("div", { class: "ask__answers ask__answers--four" }, GLASS.map(reads), other)];
}

// Answered a short while ago: then it is not asked again.
function lastSaid({ state }, loading, now) {
  const answers = loading ? state.pokes : [...state.looks, ...state.glasses];
  return answers.filter((one) => one.at > now - ASKED_AHEAD_S).pop();
}

const OFF_S = 600;

// What comes of the answer: other times, or that they stay, and why.
function heeded(kitchen, step, { at, said }) {
  const { bundle: { plan }, retimed, format, state } = kitchen;
  const next = plan.steps.slice(plan.steps.indexOf(step)).find((one) => one.mark);
  const { start, best_at } = stepNow(retimed, next);
  const clock = (instant) => format.dayClock(instant, kitchen.now());
  const then = kitchen.phrase(next.kind === "load" ? "load then eat" : "press then eat", { at: clock(start), eat: clock(retimed.eat_at) });
  const off = best_at && best_at - start;
  const why = off > OFF_S ? kitchen.phrase("best too late", { best: clock(five(best_at)) }) : off < -OFF_S ? kitchen.phrase("past its best") : "";
  const changed = state.way?.at >= at && state.way.kind !== "as-planned";
  return notice("", el("p", {}, kitchen.phrase(changed ? "heard and changed" : "heard", { said: kitchen.words.pokes[said] ?? kitchen.words.looks[said] ?? kitchen.phrase("noted"), then }), changed ? "" : ` ${why}`));
}

function question(kitchen, words, choices, also = null) {
  const rows = choices.map(([name, kind, data]) => button(name, () => observe(kitchen, kind, data), { kind: "quiet", key: `${kind}-${Object.values(data)[0]}`, says: true }));
  return el("div", { class: "ask", role: "group", "aria-label": words }, el("p", { class: "ask__words" }, words), el("div", { class: "ask__answers" }, rows), also);
}
