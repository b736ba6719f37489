// One step filling the screen: what to do, until when, done; below it what comes next. This is the first view and loads
// alone; everything else (more.js) follows once it can be seen.

import { button, el, notice, picture } from "../lib/dom.js";
import { countdown, duration, held } from "../lib/format.js";
import { SCHEMA } from "../lib/packed.js";
import { openSheet } from "../kitchen/tools.js";

export const DONE_WORDS = {
  mix: "Mixed", preferment: "Mixed", rest: "Rested", fold: "Folded", "round-up": "Rounded up", chill: "It’s in the fridge",
  temper: "It’s out of the fridge", press: "Pressed out", preheat: "The oven is lit", sauce: "Sauce is made",
  drain: "It drains", "cheese-out": "Cheese is out", top: "Topped", load: "Loaded", "turn-down": "Turned down",
  check: "Checked", turn: "Turned", lift: "It’s out", cool: "Cooled", serve: "Served",
};

export function drawNow(kitchen) {
  const { bundle } = kitchen;
  if (!bundle) {
    return [drawNothing(kitchen), kitchen.more?.drawShelf(kitchen)];
  }
  if (bundle.schema > SCHEMA) {
    return [drawTooNew(), kitchen.more?.drawShelf(kitchen)];
  }
  const { retimed } = kitchen;
  return [
    el("h1", { class: "kitchen__title" }, bundle.plan.title),
    retimed.current ? drawCurrent(kitchen) : kitchen.more?.drawOver(kitchen),
    retimed.current ? undoBar(kitchen) : null,
    drawNext(kitchen),
    ...(kitchen.more?.drawBelow(kitchen) ?? []),
  ];
}

export function currentOf(kitchen) {
  const at = kitchen.retimed ? kitchen.bundle.plan.steps.findIndex((s) => s.step_id === kitchen.retimed.current) : -1;
  return at < 0 ? null : { step: kitchen.bundle.plan.steps[at], timed: kitchen.retimed.steps[at], at };
}

export const isDue = (kitchen, one = currentOf(kitchen)) => one !== null && one.timed.start <= kitchen.now();

function drawCurrent(kitchen) {
  const { step } = currentOf(kitchen);
  const due = isDue(kitchen);
  const classes = ["card", "now", due ? "card--due" : "", due && step.kind === "turn-down" ? "now--alarm" : ""];
  return el(
    "section",
    { class: classes.filter(Boolean).join(" "), "aria-labelledby": "now-title", "data-step": step.step_id },
    whenLine(kitchen),
    el("h2", { class: "big now__title", id: "now-title" }, picture(step.kind), el("span", {}, step.title)),
    el("p", { class: "huge now__count", "data-count": true, "aria-live": "off" }, countWords(kitchen)),
    kitchen.more?.drawFlag(kitchen, step),
    kitchen.more?.drawOven(kitchen, step),
    step.text ? el("p", { class: "now__text" }, held(kitchen.more?.textBeside(kitchen, step) ?? step.text)) : null,
    kitchen.more?.drawPanNote(kitchen, step),
    kitchen.more?.drawWeigh(kitchen, step),
    cautionsOf(kitchen, step),
    buttons(kitchen, step, due),
    kitchen.more?.drawOvenAhead(kitchen, step),
  );
}

function whenLine(kitchen) {
  const { step, timed } = currentOf(kitchen);
  const clock = kitchen.format.dayClock;
  return el("p", { class: "now__when" }, isDue(kitchen) ? dueWords() : `At ${clock(timed.start, kitchen.now())}`);

  function dueWords() {
    const dueAt = kitchen.dueAt(step.step_id);
    return kitchen.now() - dueAt > 90 ? `Due since ${clock(dueAt, kitchen.now())}` : "Now";
  }
}

// "in 2:14:05", "in 14 h", or how late it is.
function countWords(kitchen) {
  const { step, timed } = currentOf(kitchen);
  const left = timed.start - kitchen.now();
  if (left > 0) {
    return left > 3 * 3600 ? `in ${duration(left)}` : `in ${countdown(left)}`;
  }
  const over = kitchen.now() - kitchen.dueAt(step.step_id);
  return over < 60 ? "now" : `${duration(over)} ago`;
}

// Each second: the figures go on. True when something has become due and the screen must be drawn again.
export function tickNow(kitchen) {
  const card = document.querySelector("[data-step]");
  if (!card || !kitchen.retimed?.current) {
    return false;
  }
  const count = card.querySelector("[data-count]");
  const words = countWords(kitchen);
  if (count.textContent !== words) {
    count.textContent = words;
  }
  return isDue(kitchen) !== card.classList.contains("card--due");
}

function buttons(kitchen, step, due) {
  const done = () => kitchen.tell(["done", { step_id: step.step_id }]);
  return el(
    "div",
    { class: "now__buttons" },
    button(DONE_WORDS[step.kind] ?? "Done", done, { kind: due ? "due wide" : "wide", pic: "good", key: "done" }),
    button(due ? "I did it earlier" : "Done at another time", () => openSheet(kitchen, "when", step), { kind: "quiet", key: "when" }),
    button("Running late", () => openSheet(kitchen, "late", step), { kind: "quiet", key: "late" }),
  );
}

function cautionsOf(kitchen, step) {
  const own = kitchen.bundle.plan.cautions.filter((caution) => caution.step_id === step.step_id);
  return own.map((caution) => notice("careful", el("p", {}, held(caution.text))));
}

function undoBar(kitchen) {
  const { plan } = kitchen.bundle;
  const done = kitchen.state.done.reduce((last, one) => (last && last.at > one.at ? last : one), null);
  if (!done) {
    return null;
  }
  const step = plan.steps.find((one) => one.step_id === done.step_id);
  const words = `${DONE_WORDS[step.kind] ?? "Done"}: ${step.title}, ${kitchen.format.dayClock(done.at, kitchen.now())}`;
  return el(
    "div",
    { class: "undo-bar" },
    el("span", {}, words),
    button("Take back", () => kitchen.undoStep(step.step_id), { kind: "quiet", pic: "undo", key: "take-back", label: `Take back: ${words}` }),
  );
}

function drawNext(kitchen) {
  const { plan } = kitchen.bundle;
  const at = plan.steps.findIndex((step) => step.step_id === kitchen.retimed.next);
  if (at < 0) {
    return null;
  }
  const [step, timed] = [plan.steps[at], kitchen.retimed.steps[at]];
  return el(
    "section",
    { class: "next", "aria-label": "Next step" },
    el("span", { class: "next__word" }, "Then"),
    el("strong", { class: "num" }, kitchen.format.dayClock(timed.start, kitchen.now())),
    el("span", { class: "next__what" }, picture(step.kind), " ", step.title),
  );
}

function drawNothing(kitchen) {
  const missing = Boolean(kitchen.wanted);
  return el(
    "section",
    { class: "empty" },
    picture("dough", "large"),
    el("h1", {}, missing ? "This bake is not in this phone yet" : "No dough on the go"),
    el("p", { "data-fetching": true }, missing ? "It is fetched as soon as the server answers." : "Plan a bake and it is packed for this screen: steps, weights, oven, all of it, with no connection needed."),
    el("p", {}, el("a", { class: "button", href: "/" }, "Plan a bake")),
  );
}

function drawTooNew() {
  return notice(
    "careful",
    el("h1", { class: "big" }, "This bake was packed by a newer version"),
    el("p", {}, "This screen is too old to read it. Connect to the server once: the new version of the kitchen comes by itself. The printed sheet and the calendar are good meanwhile."),
  );
}
