// Steps beside the chain: the oven, the sauce, what leaves the fridge. Twin of webapp/core/now/sides.py: change both or
// neither. Why things are as they are is said in the Python twin.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

import { latest, notOver, saidAt, timedOf } from "./chain.js";

export function inPlanOrder(plan, state, now, chain) {
  const out = [];
  let i = 0;
  for (const step of plan.steps) {
    if (step.chain) {
      out.push(chain[i]);
      i += 1;
    } else {
      out.push(sideStep(state, now, step, chain));
    }
  }
  return out;
}

function sideStep(state, now, step, chain) {
  const lasts = step.end - step.start;
  const begun = saidAt(state.begun, step.step_id);
  const end = saidAt(state.done, step.step_id);
  if (end !== 0) {
    return timedOf(step, 0 < begun && begun <= end ? begun : end - lasts, end, "done");
  }
  let start = step.start;
  let status = "open";
  for (let i = 0; i < chain.length; i += 1) {
    if (chain[i].step.step_id === step.anchor) {
      start = beside(chain, i, step);
      const overtaken = step.offset_s <= 0 ? chain[i] : chain[chain.length - 1];
      status = overtaken.status === "open" ? "open" : "passed";
    }
  }
  if (status === "open") {
    start = begun !== 0 ? begun : notOver(latest(start, state.later), now, lasts);
  }
  return timedOf(step, start, start + lasts, status);
}

function beside(chain, i, step) {
  const start = chain[i].start + step.offset_s;
  const topping = step.kind === "preheat" && i > 0 ? chain[i - 1] : chain[i];
  if (topping.status === "open" && topping.start < start) {
    return topping.start;
  }
  return start;
}

export function ovenLitAt(plan, timed) {
  if (plan.rise.warm_is_oven === false) {
    return 0;
  }
  for (const one of timed) {
    if (one.step.kind === "preheat" && one.status !== "passed") {
      return one.start;
    }
  }
  return 0;
}
