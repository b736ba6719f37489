// What is out of the fridge and has to be in the oven in time: counted from when it really left, whatever moved since.

import { DOUGH, perishingNow } from "../now/fridge_clock.js";
import { el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";

export function drawFridgeClock(kitchen) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const open = kitchen.retimed.current !== "" && plan.steps.some((step, i) => step.kind === "load" && kitchen.retimed.steps[i].status === "open");
  const out = open ? perishingNow(plan, kitchen.retimed, kitchen.state, now).filter((one) => counts(kitchen, one, now)) : [];
  if (out.length === 0) {
    return null;
  }
  const careful = out.some((one) => one.over);
  return el("section", { class: "stack", "aria-label": "Out of the fridge", "data-fridge-clock": true }, notice(careful ? "careful" : "", out.map((one) => line(kitchen, one, now))));
}

// A dough that is back in the fridge is said only when its time is too long.
const counts = (kitchen, one, now) =>
  one.key === DOUGH ? one.had_s > 0 && (one.over || kitchen.retimed.place !== "fridge") : one.out_at <= now;

function line(kitchen, one, now) {
  if (one.key === DOUGH) {
    return doughLine(kitchen.words.said, one);
  }
  const clock = kitchen.format.clock(one.use_by);
  const said = `${one.name}: out of the fridge for ${duration(Math.max(0, now - one.out_at))}`;
  if (now > one.use_by) {
    return el("p", {}, el("strong", {}, `${said}. That is too long: ${kitchen.words.said["take-fresh"]}.`));
  }
  if (one.over) {
    return el("p", {}, el("strong", {}, `${said}. The oven comes after ${clock}, which is too late: back into the fridge with it now.`));
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
