// What is out of the fridge and has to be in the oven in time: counted from when it really left, whatever moved since.

import { DOUGH, isEaten, perishingNow } from "../now/fridge_clock.js";
import { el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { stepNow } from "../plan/retimed.js";

export function drawFridgeClock(kitchen) {
  const { plan } = kitchen.bundle;
  const waiting = !isLoaded(plan, kitchen.retimed);
  const out = outNow(kitchen).filter((one) => one.load || (waiting && counts(kitchen, one) && !isLost(one))); // the step says what is lost
  if (out.length === 0 || kitchen.retimed.current === "") {
    return null;
  }
  const careful = out.some((one) => one.over);
  return el("section", { class: "stack", "aria-label": kitchen.phrase("out of the fridge"), "data-fridge-clock": true }, notice(careful ? "careful" : "", out.filter(isNew).map((one) => line(kitchen, one))));
}

// What lies on one tray and waits in its bowl for the next is told once.
const isNew = (one, i, all) => !all.slice(0, i).some(({ name, use_by, over }) => name === one.name && use_by === one.use_by && over === one.over);

const isLoaded = (plan, retimed) => !plan.steps.some((step) => step.kind === "load" && stepNow(retimed, step).status === "open");

let known = {}; // a drawing asks six times

// In the oven its time goes on no more, and what it had before does not come right there either.
function outNow(kitchen, state = kitchen.state, then = kitchen.retimed) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  if (known.then !== then || known.now !== now) {
    const out = perishingNow(plan, then, state, now);
    known = { then, now, out: isLoaded(plan, then) ? out.filter(isEaten).map((one) => ({ ...one, had_s: one.seconds })) : out };
  }
  return known.out;
}

// Dough or tray were out too long: nothing of it is eaten.
const isLost = (one) => isEaten(one) && !one.load && one.had_s > one.limit_s;

export const isForTheBin = (kitchen) => outNow(kitchen).some(isLost);

// In place of all that a step of such a dough asks for, to its end; null for any other.
export function drawForTheBin(kitchen) {
  const lost = outNow(kitchen).filter(isLost);
  const giveUp = el("a", { class: "button button--quiet", href: `/bakes/${kitchen.bundle.plan.bake_id}/change` }, kitchen.phrase("change or give up"));
  return lost.length > 0 ? [notice("careful", lost.map((one) => line(kitchen, one)), el("p", {}, kitchen.phrase("heat no cure")), kitchen.retimed.current ? giveUp : null)] : null;
}

// Dough or tray that would be out too long, should things stand as `then` says: there is no supper then.
export const tooLong = (kitchen, state, then) => outNow(kitchen, state, then).filter((one) => one.over && isEaten(one)).map((one) => line(kitchen, one));

// What is back in the fridge is said only when its time is too long.
const counts = (kitchen, one) => one.had_s > 0 && (one.over || !isEaten(one) || kitchen.retimed.place !== "fridge");

function line(kitchen, one) {
  const words = kitchen.words.said;
  if (one.key === DOUGH) {
    return doughLine(kitchen, one);
  }
  const clock = kitchen.format.clock(one.use_by);
  const { name, load } = one;
  const spent = duration(one.had_s);
  const said = load ? kitchen.phrase("out on a load", { name, load, spent }) : kitchen.phrase(one.on_tray ? "out on the tray" : "out for", { name, spent });
  if (one.had_s > one.limit_s) {
    return el("p", {}, el("strong", {}, kitchen.phrase("out too long", { said, act: one.on_tray ? words.throw : words["take-fresh"] })));
  }
  if (one.over) {
    return el("p", {}, el("strong", {}, kitchen.phrase(one.on_tray ? "bake or fridge now" : "back into the fridge now", { said, clock })));
  }
  return el("p", {}, kitchen.phrase("into the oven by", { said: name, clock, most: duration(one.limit_s) }));
}

function doughLine(kitchen, one) {
  const words = kitchen.words.said;
  const said = words["dough-out"].replace("{spent}", duration(one.had_s));
  const most = duration(one.limit_s);
  if (one.had_s > one.limit_s) {
    return el("p", {}, el("strong", {}, kitchen.phrase("dough out too long", { said, most, act: words.throw })));
  }
  if (one.over) {
    return el("p", {}, el("strong", {}, kitchen.phrase("dough too long then", { said, come: duration(one.seconds), most, act: words["keep-cold"] })));
  }
  return el("p", {}, kitchen.phrase("most before the oven", { said, most }));
}
