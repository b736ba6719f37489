// One step filling the screen: what to do, until when, done; below it what comes next. This is the first view and loads
// alone; everything else (more.js) follows once it can be seen.

import { button, el, notice, picture } from "../lib/dom.js";
import { countdown, duration, held } from "../lib/format.js";
import { doneThere, doneWord } from "../lib/labels.js";
import { BAKE_KINDS, MIXING_KINDS } from "../plan/kinds.js";
import { SCHEMA } from "../state/packed.js";
import { currentOf, homeOf, isDue, nextOf } from "../state/on_the_screen.js";
import { sayDone } from "../state/actions.js";
import { outFirst, isInOven, takeOut } from "../state/warm_oven.js";

const MOST_CAUTIONS = 2; // the rest behind one tap

// What can appear by itself (notes, what rings) stands at the end or in the dock over the step, so that nothing is pushed by it.
export function drawNow(kitchen) {
  const { bundle, more } = kitchen;
  const instead = more?.drawInstead(kitchen);
  if (!bundle) {
    return [instead, more?.drawNothing(kitchen), dock(kitchen, null), notes(kitchen), more?.drawOthers(kitchen)];
  }
  if (bundle.schema > SCHEMA) {
    return [instead, more?.drawTooNew(), dock(kitchen, null), notes(kitchen), more?.drawOthers(kitchen)];
  }
  const current = currentOf(kitchen);
  const notesHere = notes(kitchen);
  const below = kitchen.allDrawn ? more.drawBelow(kitchen) : kitchen.stood;
  return [
    kitchen.bare ? null : instead,
    el("div", { class: "kitchen__head" }, el("h1", { class: "kitchen__title" }, nameOf(kitchen, kitchen.bake)), more?.drawNotesMark(kitchen, notesHere)),
    current ? drawCurrent(kitchen, current) : more?.drawOver(kitchen),
    dock(kitchen, current),
    current ? more?.drawAlsoDue(kitchen, current) : null,
    current ? more?.undoBar(kitchen) : null,
    current ? drawNext(kitchen, current) : null,
    kitchen.bare ? instead : null,
    ...(kitchen.notes.full ? [notesHere, ...below] : [...below, notesHere]), // what was tapped just now is not kept: at once
  ];
}

// Two bakes of one name are told apart by how much dough it is and when it is eaten.
export function nameOf(kitchen, bake) {
  const short = shortNameOf(kitchen, bake);
  return short === bake.plan.title ? short : `${bake.plan.title}, ${short}`;
}

export function shortNameOf(kitchen, bake) {
  const { title, dough_g } = bake.plan;
  const { supper } = bake.state ?? bake.plan; // as it is by now
  const alike = [...kitchen.bakes.values()].some((one) => one !== bake && one.plan.title === title);
  return alike ? bake.phrase("so much for supper", { dough: bake.format.grams(dough_g), at: bake.format.dayClock(supper, kitchen.now()) }) : title;
}

// At the foot of the phone, always in reach of the thumb and always in the same place: what rings, and that it is done.
function dock(kitchen, current) {
  const alarm = el("div", { id: "alarm", role: "alert", key: "alarm", keep: true }); // alarm.js draws what is in it
  return el("div", { class: current ? "dock" : "dock dock--bare", key: "dock" }, alarm, current ? [kitchen.more?.drawMove(kitchen, current), doneButton(kitchen, current)] : null);
}

function doneButton(kitchen, current) {
  const { step } = current;
  const first = isInOven(kitchen, step.kind);
  const done = () => (first ? takeOut(kitchen) : sayDone(kitchen, step));
  if (kitchen.heard === step.step_id) {
    return button(kitchen.phrase("heard writing"), () => {}, { kind: "quiet wide", pic: "good", key: "done", of: step.step_id });
  }
  return button(first ? doneWord(kitchen, "warm-out") : doneThere(kitchen, step), done, { kind: isDue(kitchen, current) ? "due wide" : "quiet wide", pic: "good", key: "done", says: true, of: first ? "out-first" : step.step_id });
}

function notes(kitchen) {
  const missing = kitchen.notes.missing && notice("careful", el("p", {}, kitchen.phrase("a part did not load")));
  return el("div", { id: "notes", class: "stack", "aria-live": "polite", key: "notes" }, kitchen.more?.drawNotes(kitchen), missing);
}

function drawCurrent(kitchen, current) {
  const { step } = current;
  const { more, bare } = kitchen;
  const due = isDue(kitchen, current);
  const baking = more?.drawBaking(kitchen, step);
  const first = isInOven(kitchen, step.kind);
  const words = first ? outFirst(kitchen).text : (!bare && more?.textBeside(kitchen, step)) || `${step.text}${step.whose ?? ""}`;
  const text = words ? el("p", { class: "now__text", key: "text" }, held(words)) : null;
  const classes = ["card", "now", due ? "card--due" : "", due && step.kind === "turn-down" ? "now--alarm" : ""];
  const parts = more?.drawForTheBin(kitchen) ?? [
    more?.drawFlag(kitchen, step),
    baking ? [bare ? null : text, baking] : null, // before it is asked how it looks, what to look at
    first ? null : more?.drawOven(kitchen, step),
    more?.drawAsk(kitchen, step),
    more?.drawWeigh(kitchen, step), // before all that is to be read
    more?.drawPanNote(kitchen, step), // what is cut off comes first
    baking || bare ? null : text,
  ];
  const cautions = cautionsOf(kitchen, step);
  const hot = more?.drawHot(kitchen, step);
  return el(
    "section",
    { class: classes.filter(Boolean).join(" "), "aria-labelledby": "now-title", "data-step": step.step_id, key: `${kitchen.shown} ${step.step_id}` },
    whenLine(kitchen, current),
    el("h2", { class: "big now__title", id: "now-title", tabindex: "-1" }, picture(step.kind), el("span", {}, first ? outFirst(kitchen).title : step.title)),
    el("p", { class: "huge now__count", "data-count": true, "aria-live": "off" }, countWords(kitchen, current)),
    bare ? [text, cautions, buttons(kitchen, step, due), parts, hot] : [parts, cautions, hot, buttons(kitchen, step, due)],
    first ? null : more?.drawOvenAhead(kitchen, step),
  );
}

function whenLine(kitchen, current) {
  const { step, timed } = current;
  const { format: { bothClocks: clock }, more } = kitchen;
  const when = el("p", { class: "now__when" }, isDue(kitchen, current) ? dueWords() : `${isToday() ? kitchen.phrase("at", { clock: clock(timed.start, kitchen.now()) }) : clock(timed.start, kitchen.now())}${homeBy(kitchen, current)}`);
  return el("div", { class: "now__top" }, when, cautionMark(kitchen, step), more?.drawOvenMark(kitchen, step));

  function isToday() {
    return kitchen.format.dayClock(timed.start, kitchen.now()) === kitchen.format.clock(timed.start);
  }

  function dueWords() {
    const dueAt = kitchen.dueAt(step.step_id);
    return kitchen.now() - dueAt > 90 ? kitchen.phrase("due since", { clock: clock(dueAt, kitchen.now()) }) : kitchen.phrase("now");
  }
}

// How late one may come home to this step.
function homeBy(kitchen, { step }) {
  const home = homeOf(kitchen);
  return home?.step_id === step.step_id ? `, ${home.words}` : "";
}

// "in 20 min", in the last ten of them "in 9 min 59 s", or how late it is: nothing that could be read as a time of the clock.
function countWords(kitchen, current) {
  const { step, timed } = current;
  const left = timed.start - kitchen.now();
  if (left > 0 && !isDue(kitchen, current)) {
    return kitchen.phrase("in", { left: left > 600 ? duration(left) : countdown(left) });
  }
  const over = kitchen.now() - kitchen.dueAt(step.step_id);
  return over < 60 ? kitchen.phrase("now").toLowerCase() : kitchen.phrase("so long ago", { ago: duration(over) });
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

function buttons(kitchen, step, due) {
  return el(
    "div",
    { class: "now__buttons" },
    kitchen.more?.drawLeaveOut(kitchen, step),
    isInOven(kitchen, step.kind) ? null : button(kitchen.phrase(due ? "i did it earlier" : "done at another time"), () => kitchen.open("when", step), { kind: "quiet", key: "when" }),
    BAKE_KINDS.includes(step.kind) ? null : button(kitchen.phrase("running late"), () => kitchen.open("late", step), { kind: "quiet", key: "late" }),
  );
}

const ownCautions = (kitchen, step) => kitchen.more?.isForTheBin(kitchen) ? [] : kitchen.bundle.plan.cautions.filter((caution) => caution.step_id === step.step_id);

// They stand under what is to be done, which may be long: in the first line is told that they are there.
function cautionMark(kitchen, step) {
  const count = ownCautions(kitchen, step).length;
  const go = () => document.querySelector("[data-caution]")?.scrollIntoView({ block: "center" });
  return count > 0 ? el("button", { class: "now__mark", type: "button", "data-key": "cautions", on: { click: go } }, picture("caution"), count === 1 ? kitchen.phrase("caution") : kitchen.phrase("cautions", { count })) : null;
}

// What is told by this plan's own times first, then what is always so.
const inOrder = (cautions) => [...cautions].sort((a, b) => Boolean(b.out) - Boolean(a.out));

function cautionsOf(kitchen, step) {
  const said = inOrder(ownCautions(kitchen, step)).map((caution) => notice("careful", el("p", { "data-caution": true }, held(caution.text))));
  const most = MIXING_KINDS.includes(step.kind) ? 1 : MOST_CAUTIONS; // beside a list of weights, and nothing is hot yet
  const rest = said.slice(most);
  const more = rest.length > 0 ? el("details", { class: "stack", key: "more-cautions" }, el("summary", { "data-key": "more-cautions" }, rest.length === 1 ? kitchen.phrase("one more caution") : kitchen.phrase("more cautions", { count: rest.length })), rest) : null;
  return [...said.slice(0, most), more];
}

function drawNext(kitchen, current) {
  const next = nextOf(kitchen, current);
  if (!next) {
    return null;
  }
  const { step, timed } = next;
  return el(
    "section",
    { class: "next", "aria-label": kitchen.phrase("next step") },
    el("span", { class: "next__word" }, kitchen.phrase("then")),
    el("strong", { class: "num" }, kitchen.format.bothClocks(timed.start, kitchen.now())),
    el("span", { class: "next__what" }, picture(step.kind), " ", step.title),
  );
}
