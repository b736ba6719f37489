// Everything on the kitchen screen that is not the current step: loaded once that can be seen.

import { button, el, picture } from "../lib/dom.js";
import { formatFor } from "../lib/format.js";
import { stillSaid } from "../now/journal.js";
import { drawForTheBin, drawFridgeClock, isForTheBin } from "./out_of_fridge.js";
import { drawAskLast } from "../step/ask_dough.js";
import { ovenBroken, bakesStill, isNearOven } from "../step/ask_oven.js";
import { drawHob, isOnHob } from "../step/hob.js";
import { drawOvenAhead as drawOvenOnly } from "../step/oven.js";
import { EATEN_SHOWN_S, currentOf, isInHand, isMixed } from "../state/on_the_screen.js";
import { nextAt } from "../state/packed.js";
import { nameOf } from "../step/step.js";
import { drawFlag, drawStanding } from "./standing.js";
import { drawSteps } from "./steps_list.js";

export { drawInstead, drawNotes, drawNotesMark } from "./notes.js";
export { drawBaking, drawHot, drawOvenMark } from "../step/ask_oven.js";
export { drawOven } from "../step/oven.js";
export { drawAsk } from "../step/ask_dough.js";
export { drawAlsoDue, drawMove } from "../step/also_due.js";
export { drawNothing, drawTooNew } from "../step/instead.js";
export { showSaid, undoBar } from "../step/undo_bar.js";
export { drawLeaveOut } from "../step/leave_out.js";
export { drawPanNote, drawWeigh, laidOut, textBeside, unticked } from "../step/weigh_list.js";
export { drawFlag, drawForTheBin, isForTheBin };

// Under the buttons of the step.
export const drawOvenAhead = (kitchen, step) => [isForTheBin(kitchen) ? null : drawAskLast(kitchen, step), drawOvenOnly(kitchen, step)];

export function drawBelow(kitchen) {
  const parts = [
    drawFridgeClock(kitchen),
    drawStanding(kitchen),
    kitchen.forgotten ? null : kitchen.drawTide?.() ?? null,
    drawTools(kitchen),
    drawSteps(kitchen),
    kitchen.drawRings?.(kitchen) ?? null,
    drawOthers(kitchen),
  ].flat().filter(Boolean);
  parts.forEach((part) => part.setAttribute("data-below", ""));
  return parts;
}

// What the person can say: [sheet, words, picture, what it is about, key]. Nothing is asked of a dough that is not made yet, or that
// is at the oven's door.
function toolsOf(kitchen) {
  const { retimed } = kitchen;
  const pan = isInHand(retimed) && !retimed.current.startsWith("load");
  const dough = pan && isMixed(kitchen);
  return [
    dough && ["glass", kitchen.phrase("read the glass"), "glass"],
    ["warmth", kitchen.phrase("the room is at"), "thermometer", "room", "room"],
    dough && ["warmth", kitchen.phrase("the dough is at"), "dough", "dough", "felt"],
    dough && ["dough", kitchen.phrase("move the dough"), "fridge"],
    pan && ["pan", kitchen.phrase("another pan"), "pan-rectangle"],
    bakesStill(kitchen) && !isNearOven(kitchen, currentOf(kitchen).step) && ["noOven", ovenBroken(kitchen), "caution"],
  ].filter(Boolean);
}

function drawTools(kitchen) {
  return kitchen.retimed.current ? el(
    "section",
    { class: "tools", "aria-label": kitchen.phrase("tell the kitchen") },
    toolsOf(kitchen).map(([name, words, pic, about, key = name]) => button(words, () => kitchen.open(name, about), { kind: "quiet", pic, key })),
  ) : null;
}

export function drawOver(kitchen) {
  const { plan } = kitchen.bundle;
  const isSaid = ({ kind, data }) => kind === "note" && data.hob !== true; // that it was the hob, nobody wrote
  const said = kitchen.state.outcome.length > 0 || stillSaid(kitchen.events).some(isSaid);
  const past = kitchen.forgotten || kitchen.now() - kitchen.retimed.eat_at > EATEN_SHOWN_S;
  const { unbegun, eaten_at } = kitchen.bake;
  const lost = past ? null : drawForTheBin(kitchen);
  return el(
    "section",
    { class: "card stack" },
    !past && isOnHob(kitchen) ? drawHob(kitchen) : el("h2", { class: "big" }, past ? kitchen.phrase("was for", { at: kitchen.format.dayClock(eaten_at, kitchen.now()) }) : kitchen.phrase(lost ? "do not eat it" : "all done")),
    lost,
    kitchen.forgotten ? el("p", {}, unbegun ? kitchen.phrase("never begun") : kitchen.words.help.silent) : null,
    unbegun ? null : el("p", {}, kitchen.phrase(said ? "it is written down" : "how was it")),
    unbegun ? null : button(kitchen.phrase(said ? "say more" : "how it came out"), () => kitchen.open("cameOut"), { kind: said ? "quiet" : "wide", pic: "check", key: "came-out" }),
    el("p", {}, el("a", { class: "button button--quiet", href: `/book/${plan.bake_id}` }, picture("book"), kitchen.phrase("to the book"))),
  );
}

// The other bakes that are packed in this phone: none that was never begun, nor one that is eaten, unless nobody has said yet how
// it came out.
export function drawOthers(kitchen) {
  const others = [...kitchen.bakes.values()].filter((bake) => bake.id !== kitchen.shown && bake.readable && !bake.unbegun && !(bake.eaten && bake.state?.outcome.length > 0));
  if (others.length === 0) {
    return null;
  }
  const at = (bake) => nextAt(bake, kitchen.now()) ?? bake.plan.supper;
  const rows = others.sort((a, b) => at(a) - at(b)).map((bake) => el("li", { key: bake.id }, link(bake, nameOf(kitchen, bake), kitchen.now(), formatOf(bake, kitchen.bakes))));
  const title = kitchen.phrase(kitchen.bake ? "other bakes in this phone" : "bakes in this phone");
  return el("section", { class: "card card--plain" }, el("h2", {}, title), el("ul", {}, rows));
}

// By the clock that the household reads now: of a bake eaten long ago nothing newer is fetched, and of two that were fetched
// within a second it is the older one.
function formatOf({ plan, words }, bakes) {
  const age = ({ eaten, bundle }) => (bundle.served_at ?? 0) - (eaten ? 1 : 0);
  const newest = [...bakes.values()].reduce((a, b) => (age(b) > age(a) ? b : a));
  return formatFor(plan.zone, newest.units, words.days);
}

function link(bake, name, now, format) {
  const { id, plan, eaten, eaten_at, retimed } = bake;
  const next = nextAt(bake, now);
  const step = next && `${plan.steps.find((one) => one.step_id === retimed.current).title} ${format.dayClock(next, now)}, `;
  const supper = `${format.dayName(eaten_at, now)} ${format.clock(eaten_at)}`;
  const when = eaten ? bake.phrase("eaten then", { supper }) : `${step ?? ""}${bake.phrase("supper then", { supper })}`;
  return el(
    "a",
    { class: "others__link", href: `#${id}`, "data-key": id },
    picture("dough"),
    el("span", {}, el("strong", {}, name), el("span", { class: "soft others__when" }, when)),
  );
}
