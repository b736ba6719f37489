// One step filling the screen: what to do, until when, done; below it what comes next. This is the first view and loads
// alone; everything else (more.js) follows once it can be seen.

import { button, el, notice, picture } from "../lib/dom.js";
import { beganSince } from "../lib/finger.js";
import { countdown, duration, held } from "../lib/format.js";
import { doneWord } from "../lib/labels.js";
import { SCHEMA } from "../lib/packed.js";
import { currentOf, isDue, nextOf } from "../state/on_the_screen.js";

export function drawNow(kitchen) {
  const { bundle } = kitchen;
  if (!bundle) {
    return [kitchen.more?.drawNothing(kitchen), kitchen.more?.drawShelf(kitchen)];
  }
  if (bundle.schema > SCHEMA) {
    return [kitchen.more?.drawTooNew(), kitchen.more?.drawShelf(kitchen)];
  }
  const current = currentOf(kitchen);
  return [
    el("h1", { class: "kitchen__title" }, bundle.plan.title),
    current ? drawCurrent(kitchen, current) : kitchen.more?.drawOver(kitchen),
    current ? kitchen.more?.drawAlsoDue(kitchen, current) : null,
    current ? kitchen.more?.undoBar(kitchen) : null,
    current ? drawNext(kitchen, current) : null,
    ...(kitchen.more?.drawBelow(kitchen) ?? []),
  ];
}

function drawCurrent(kitchen, current) {
  const { step } = current;
  const due = isDue(kitchen, current);
  const classes = ["card", "now", due ? "card--due" : "", due && step.kind === "turn-down" ? "now--alarm" : ""];
  return el(
    "section",
    { class: classes.filter(Boolean).join(" "), "aria-labelledby": "now-title", "data-step": step.step_id, key: `${kitchen.shown} ${step.step_id}` },
    whenLine(kitchen, current),
    el("h2", { class: "big now__title", id: "now-title" }, picture(step.kind), el("span", {}, step.title)),
    el("p", { class: "huge now__count", "data-count": true, "aria-live": "off" }, countWords(kitchen, current)),
    kitchen.more?.drawFlag(kitchen, step),
    kitchen.more?.drawOven(kitchen, step),
    kitchen.more?.drawAsk(kitchen, step),
    step.text ? el("p", { class: "now__text" }, held(kitchen.more?.textBeside(kitchen, step) ?? step.text)) : null,
    kitchen.more?.drawPanNote(kitchen, step),
    kitchen.more?.drawWeigh(kitchen, step),
    cautionsOf(kitchen, step),
    buttons(kitchen, step, due),
    kitchen.more?.drawOvenAhead(kitchen, step),
  );
}

function whenLine(kitchen, current) {
  const { step, timed } = current;
  const clock = kitchen.format.dayClock;
  return el("p", { class: "now__when" }, isDue(kitchen, current) ? dueWords() : `At ${clock(timed.start, kitchen.now())}`);

  function dueWords() {
    const dueAt = kitchen.dueAt(step.step_id);
    return kitchen.now() - dueAt > 90 ? `Due since ${clock(dueAt, kitchen.now())}` : "Now";
  }
}

// "in 2:14:05", "in 14 h", or how late it is.
function countWords(kitchen, { step, timed }) {
  const left = timed.start - kitchen.now();
  if (left > 0) {
    return left > 3 * 3600 ? `in ${duration(left)}` : `in ${countdown(left)}`;
  }
  const over = kitchen.now() - kitchen.dueAt(step.step_id);
  return over < 60 ? "now" : `${duration(over)} ago`;
}

// Each second: the figures go on. True when something else is due than what the screen says, and it must be drawn again.
export function tickNow(kitchen) {
  const card = document.querySelector("[data-step]");
  const current = currentOf(kitchen);
  if (!card || !current) {
    return Boolean(card) !== Boolean(current);
  }
  if (card.dataset.step !== current.step.step_id) {
    return true;
  }
  const count = card.querySelector("[data-count]");
  const words = countWords(kitchen, current);
  if (count.textContent !== words) {
    count.textContent = words;
  }
  return isDue(kitchen, current) !== card.classList.contains("card--due");
}

// A tap counts when it began after this step was on the screen: two taps in a row are one.
function buttons(kitchen, step, due) {
  const resting = performance.now() < kitchen.armedAt;
  const done = () => beganSince(kitchen.armedAt) && kitchen.tell(["done", { step_id: step.step_id }]);
  return el(
    "div",
    { class: "now__buttons" },
    button(doneWord(step.kind), done, { kind: due ? "due wide" : "wide", pic: "good", key: "done", resting }),
    button(due ? "I did it earlier" : "Done at another time", () => kitchen.open("when", step), { kind: "quiet", key: "when" }),
    button("Running late", () => kitchen.open("late", step), { kind: "quiet", key: "late" }),
  );
}

function cautionsOf(kitchen, step) {
  const own = kitchen.bundle.plan.cautions.filter((caution) => caution.step_id === step.step_id);
  return own.map((caution) => notice("careful", el("p", {}, held(caution.text))));
}

function drawNext(kitchen, current) {
  const next = nextOf(kitchen, current);
  if (!next) {
    return null;
  }
  const { step, timed } = next;
  return el(
    "section",
    { class: "next", "aria-label": "Next step" },
    el("span", { class: "next__word" }, "Then"),
    el("strong", { class: "num" }, kitchen.format.dayClock(timed.start, kitchen.now())),
    el("span", { class: "next__what" }, picture(step.kind), " ", step.title),
  );
}
