// The chain of a plan: its two steps that want a rise, its trays in the oven, its supper, what settles a step.
// Twin of webapp/core/now/marked.py: change both or neither.

import { BAKE_KINDS } from "../plan/kinds.js";

const MORE_S = 120;
const PALE_S = 180;
const DARK_S = 120;
const THINNEST = 0.5;
export const GRID_S = 300;

export function chainOf(plan) {
  return plan.steps.filter((step) => step.chain);
}

export const pressIndex = (chain) => chain.findIndex((step) => step.mark !== null && step.kind !== "load");

export const loadIndex = (chain) => chain.findIndex((step) => step.kind === "load");

export function followsIndex(chain, i) {
  const own = chain[i].kind === "serve" && chain[i].load !== 0;
  const before = chain.slice(0, i).filter((step) => (own ? step.load === chain[i].load : step.kind !== "serve"));
  return before.length > 0 ? chain.indexOf(before[before.length - 1]) : i - 1;
}

export const moreWait = (chain, i) => (i > 0 ? chain[i - 1].end - chain[followsIndex(chain, i)].end : 0);

export function readyIndex(chain) {
  for (let i = 0; i < chain.length; i += 1) {
    if (chain[i].kind === "serve") {
      return i;
    }
  }
  return chain.length - 1;
}

export const waitedFor = (step) => step.presence !== "none" && step.kind !== "relax";

export function loadingOf(chain, i) {
  if (!BAKE_KINDS.includes(chain[i].kind) || chain[i].presence === "none") {
    return -1;
  }
  for (let back = 0; back < i; back += 1) {
    if (chain[i - 1 - back].kind === "load") {
      return i - 1 - back;
    }
  }
  return -1;
}

export function anchorOf(state, side) {
  return side.kind === "preheat" && state.lit_for !== "" ? state.lit_for : side.anchor;
}

export function trayIn(state, chain) {
  for (let i = 0; i < chain.length; i += 1) {
    const loading = chain[i].kind === "lift" ? loadingOf(chain, i) : -1;
    if (loading >= 0 && saidAt(state.done, chain[loading].step_id) !== 0 && !isSettled(state, chain, i)) {
      return true;
    }
  }
  return false;
}

export function thickerS(plan, times) {
  if (times <= 0) {
    return 0;
  }
  const height = times < THINNEST ? THINNEST : times;
  return Math.trunc(((plan.oven.half_more_s ?? 0) * (height * height - 1)) / 1.25); // none in a bundle of before
}

export function outBy(plan, state, loaded_at) {
  return loaded_at + plan.oven.bake_high_min * 80 + thickerS(plan, state.tray_times);
}

export function bakedAt(plan, state, step, loaded_at, after_s) {
  let planned = loaded_at + after_s;
  if (step.kind !== "check" && step.kind !== "lift") {
    return planned;
  }
  planned += thickerS(plan, state.tray_times);
  return step.kind === "lift" ? liftAt(plan, state, loaded_at, planned) : planned;
}

function liftAt(plan, state, loaded_at, planned) {
  let out = planned;
  const low = loaded_at + plan.oven.bake_low_min * 60 + thickerS(plan, state.tray_times);
  for (const one of state.baking) {
    if (one.at >= loaded_at) {
      out = saidOfBake(one, out, low);
    }
  }
  let most = outBy(plan, state, loaded_at);
  if (most < planned) {
    most = planned;
  }
  return out < most ? out : most;
}

export function saidOfBake(one, out, low) {
  if (one.said === "more" || one.said === "base-pale") {
    return longer(one.at, out, one.said === "more" ? MORE_S : PALE_S);
  }
  if (one.said === "top-dark") {
    const dark = one.at + DARK_S > low ? one.at + DARK_S : low;
    return dark < out ? dark : out;
  }
  return out;
}

// So much longer, but no more than twice that from the look: however often it is said, somebody looks again soon.
function longer(at, out, more_s) {
  return Math.max(out, Math.min(Math.max(at, out) + more_s, at + 2 * more_s));
}

export function eatAt(ready_at, supper) {
  if (ready_at < supper + GRID_S) {
    return supper;
  }
  return nextFive(ready_at);
}

export function supperOf(plan, wanted, ready_at) {
  const supper = ready_at + plan.supper - plan.ready_at;
  return wanted - GRID_S < supper && supper < wanted + GRID_S ? wanted : nextFive(supper);
}

function nextFive(at) {
  const down = Math.trunc(at / GRID_S) * GRID_S;
  return down === at ? down : down + GRID_S;
}

export function leftOut(state, step, before, start) {
  if (step.kind !== "fold" || before === 0 || step.wait_most_s <= 0) {
    return false;
  }
  const most = before + step.wait_most_s + step.end - step.start;
  return saidAt(state.left_out, step.step_id) !== 0 || start > most;
}

export const kindNow = (before, told) => (before !== null && before.kind === "bench" && told !== "fridge" ? "bench" : told);

export function keptOut({ way, done }, { kind }) {
  const neverCold = kind === "relax" && saidAt(done, "chill") === 0;
  return way !== null && way.kind === "bench" && (neverCold || kind === "chill" || kind === "temper");
}

export function notOver(start, now, lasts) {
  return now < start + lasts || now < start ? start : now;
}

// Where the step leaves the dough, over at that instant (null: not over yet).
export function placeAfter(step, way, over_at) {
  if (way === null || way.proof === "" || step.place === "oven" || step.place === "none" || step.vessel !== "tray" || step.mark === null) {
    return step.place;
  }
  return over_at !== null && over_at < way.at ? step.place : way.proof;
}

export function isSettled(state, chain, i) {
  if (saidAt(state.done, chain[i].step_id) !== 0) {
    return true;
  }
  for (let j = i + 1; j < chain.length; j += 1) {
    if (saidAt(state.done, chain[j].step_id) !== 0 && overtakes(chain[j], chain[i])) {
      return true;
    }
  }
  return false;
}

function overtakes(later, step) {
  const same = later.load === 0 || later.load >= step.load;
  return same || (!BAKE_KINDS.includes(later.kind) && later.kind !== "serve");
}

export function saidAt(said, step_id) {
  for (const one of said) {
    if (one.step_id === step_id) {
      return one.at;
    }
  }
  return 0;
}

export const soonest = (a, b) => (a < b ? a : b);

export const latest = (a, b) => (a > b ? a : b);
