// What is out of the fridge and has to be in the oven in time: counted from when it really left, whatever moved since.

import { DOUGH, isEaten, perishingNow } from "../now/fridge_clock.js";
import { el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { stepNow } from "../plan/retimed.js";

export function drawFridgeClock(kitchen) {
  const { plan } = kitchen.bundle;
  const open = kitchen.retimed.current !== "" && plan.steps.some((step) => step.kind === "load" && stepNow(kitchen.retimed, step).status === "open");
  const out = open ? outNow(kitchen).filter((one) => counts(kitchen, one)) : [];
  if (out.length === 0) {
    return null;
  }
  const careful = out.some((one) => one.over);
  return el("section", { class: "stack", "aria-label": "Out of the fridge", "data-fridge-clock": true }, notice(careful ? "careful" : "", out.map((one) => line(kitchen, one))));
}

const outNow = (kitchen, state = kitchen.state, then = kitchen.retimed) => perishingNow(kitchen.bundle.plan, then, state, kitchen.now());

// Dough or tray were out too long: nothing of it is eaten.
export const isForTheBin = (kitchen) => outNow(kitchen).some((one) => isEaten(one) && one.had_s > one.limit_s);

// Dough or tray that would be out too long, should things stand as `then` says: there is no supper then.
export const tooLong = (kitchen, state, then) => outNow(kitchen, state, then).filter((one) => one.over && isEaten(one)).map((one) => line(kitchen, one));

// What is back in the fridge is said only when its time is too long.
const counts = (kitchen, one) => one.had_s > 0 && (one.over || !isEaten(one) || kitchen.retimed.place !== "fridge");

function line(kitchen, one) {
  const words = kitchen.words.said;
  if (one.key === DOUGH) {
    return doughLine(words, one);
  }
  const clock = kitchen.format.clock(one.use_by);
  const said = `${one.name}${one.on_tray ? ", on the tray" : ""}: out of the fridge for ${duration(one.had_s)}`;
  if (one.had_s > one.limit_s) {
    return el("p", {}, el("strong", {}, `${said}. That is too long: ${one.on_tray ? words.throw : words["take-fresh"]}.`));
  }
  if (one.over) {
    const cold = one.on_tray ? "bake it now, or the whole tray into the fridge" : "back into the fridge with it now";
    return el("p", {}, el("strong", {}, `${said}. The oven comes after ${clock}, too late: ${cold}.`));
  }
  return el("p", {}, `${said}; into the oven by ${clock} (${duration(one.limit_s)} at most).`);
}

function doughLine(words, one) {
  const said = words["dough-out"].replace("{spent}", duration(one.had_s));
  const most = `${duration(one.limit_s)} is the most`;
  if (one.had_s > one.limit_s) {
    return el("p", {}, el("strong", {}, `${said}; ${most}. That is too long: ${words.throw}.`));
  }
  if (one.over) {
    const come = `It would come to ${duration(one.seconds)} before the oven; ${most}`;
    return el("p", {}, el("strong", {}, `${said}. ${come}: ${words["keep-cold"]}.`));
  }
  return el("p", {}, `${said}; ${most} before the oven.`);
}
