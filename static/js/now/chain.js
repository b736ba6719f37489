// The chain of a plan's steps, timed one after the other. Twin of webapp/core/now/chain.py: change both or neither.
// By its twin rules; why things are as they are is said there.

import { anchorOf, bakedAt, chainOf, followsIndex, isSettled, keptOut, latest, leftOut, loadIndex, loadingOf, moreWait, notOver, pressIndex, saidAt, soonest, waitedFor } from "./marked.js";
import { DAY_S } from "./walk.js";

const EATEN_S = 4 * 3600;

export function timeChain(plan, state, now) {
  const chain = chainOf(plan);
  const floors = chain.map(() => 0);
  let timed = oneAfterTheOther(plan, state, now, chain, floors);
  if (pull(state, chain, timed, floors)) {
    timed = oneAfterTheOther(plan, state, now, chain, floors);
  }
  return timed;
}

function oneAfterTheOther(plan, state, now, chain, floors) {
  const timed = [];
  for (let i = 0; i < chain.length; i += 1) {
    const before = endBefore(plan, chain, timed, i);
    if (isSettled(state, chain, i)) {
      timed.push(settledStep(state, chain, i, before));
    } else if (loadingOf(chain, i) >= 0) {
      timed.push(inOven(plan, state, now, chain, timed, i));
    } else {
      timed.push(openStep(plan, state, now, chain, i, before, floors[i]));
    }
  }
  return timed;
}

function endBefore(plan, chain, timed, i) {
  let out = i > 0 ? timed[followsIndex(chain, i)].end : 0;
  for (let j = 0; j < i; j += 1) {
    if (chain[j].load !== 0 && chain[j].load === chain[i].load) {
      out = latest(out, timed[j].end);
    }
    if (chain[j].kind === "lift" && chain[i].kind === "load") {
      out = latest(out, timed[j].end + plan.oven.recovery_min * 60);
    }
  }
  return out;
}

export function timedOf(step, start, end, status) {
  return { step, start, end, status, long: false };
}

function settledStep(state, chain, i, before) {
  const step = chain[i];
  const lasts = step.end - step.start;
  let end = saidAt(state.done, step.step_id);
  if (end !== 0) {
    const begun = saidAt(state.begun, step.step_id);
    return timedOf(step, 0 < begun && begun <= end ? begun : end - lasts, end, "done");
  }
  end = step.end > before ? step.end : before;
  for (const later of chain.slice(i + 1)) {
    const at = saidAt(state.done, later.step_id);
    if (at !== 0 && at < end) {
      end = at;
    }
  }
  return timedOf(step, end - lasts, end, "passed");
}

function openStep(plan, state, now, chain, i, before, floor) {
  const step = chain[i];
  const lasts = step.end - step.start;
  const begun = saidAt(state.begun, step.step_id);
  if (begun !== 0) {
    return timedOf(step, begun, latest(begun + lasts, now), "open");
  }
  if (keptOut(state, step)) {
    const at = latest(before, state.way.press_at - chain[i + 1].wait_least_s);
    return timedOf(step, at, at, "passed");
  }
  const start = boundOf(plan, state, now, chain, i, before, floor);
  if (i > 0 && start === now && step.kind === "serve" && isSettled(state, chain, followsIndex(chain, i))) {
    const ready = boundOf(plan, state, 0, chain, i, before, floor);
    return timedOf(step, ready, ready + lasts, now >= ready + EATEN_S ? "passed" : "open");
  }
  if (leftOut(state, step, before, start)) {
    const planned = before + soonest(step.start - chain[i - 1].end, step.wait_most_s);
    return timedOf(step, planned, planned + lasts, "passed");
  }
  const one = timedOf(step, start, start + lasts, "open");
  one.long = before !== 0 && step.wait_most_s > 0 && start > before + step.wait_most_s + moreWait(chain, i);
  if (!waitedFor(step) && now >= one.end) {
    one.status = "passed";
  }
  return one;
}

function inOven(plan, state, now, chain, timed, i) {
  const step = chain[i];
  const lasts = step.end - step.start;
  const begun = saidAt(state.begun, step.step_id);
  if (begun !== 0) {
    return timedOf(step, begun, latest(begun + lasts, now), "open");
  }
  const loading = loadingOf(chain, i);
  const start = notOver(bakedAt(plan, state, step, timed[loading].end, step.start - chain[loading].end), now, lasts);
  return timedOf(step, start, start + lasts, "open");
}

function boundOf(plan, state, now, chain, i, before, floor) {
  const step = chain[i];
  let out = wishedAt(plan, state, chain, i);
  if (before !== 0) {
    const [more_s, most_s] = [moreWait(chain, i), step.wait_most_s + moreWait(chain, i)];
    if (step.wait_most_s > 0 && out > before + most_s && !chosen(state, step)) {
      out = before + soonest(step.start - chain[i - 1].end + more_s, most_s);
    }
    out = latest(out, before + step.wait_least_s + more_s);
  }
  out = latest(out, floor);
  if (step.presence !== "none") {
    out = notOver(latest(out, state.later), waitedFor(step) ? now : 0, ovenFirst(plan, state, chain, i) ? 0 : step.end - step.start);
  }
  for (const side of plan.steps) {
    if (heats(state, side, step)) {
      out = latest(out, litAt(state, now, side, out) - side.offset_s);
    }
  }
  return out;
}

function wishedAt(plan, state, chain, i) {
  const way = state.way;
  const step = chain[i];
  if (way === null) {
    return step.start + state.supper - plan.supper;
  }
  const [press, load] = [pressIndex(chain), loadIndex(chain)];
  const byPress = press >= 0 && way.press_at !== 0 ? step.start + way.press_at - chain[press].start : step.start;
  const byLoad = load >= 0 ? step.start + way.load_at - chain[load].start : step.start;
  if (step.kind === "serve") {
    const wished = step.start + state.wanted - plan.supper;
    const days = byLoad > wished ? Math.trunc((byLoad - wished) / DAY_S) : 0;
    return soonest(byLoad, wished + days * DAY_S);
  }
  if (step.kind === "relax" && way.press_at !== 0) {
    return soonest(byPress, byLoad);
  }
  if (i > press && load >= 0) {
    return i < load ? soonest(byLoad, way.load_at - (step.end - step.start)) : byLoad;
  }
  return i === press || (i === press - 1 && ["temper", "warm-out"].includes(step.kind)) ? byPress : step.start;
}

function chosen(state, step) {
  return state.way !== null && step.mark !== null;
}

function ovenFirst(plan, state, chain, i) {
  for (const step of chain.slice(i + 1)) {
    if (chain[i].kind === "top" && step.kind === "load" && step.load === chain[i].load) {
      const lit = plan.steps.filter((side) => heats(state, side, step)).map((side) => side.step_id);
      return lit.filter((one) => saidAt(state.done, one) + saidAt(state.begun, one) === 0).length > 0;
    }
  }
  return false;
}

function heats(state, side, step) {
  return !side.chain && side.kind === "preheat" && anchorOf(state, side) === step.step_id;
}

function litAt(state, now, side, start) {
  const lasts = side.end - side.start;
  const begun = saidAt(state.begun, side.step_id);
  const done = saidAt(state.done, side.step_id);
  if (begun !== 0) {
    return begun;
  }
  if (done !== 0) {
    return done - lasts;
  }
  return notOver(latest(start + side.offset_s, state.later), now, lasts);
}

function pull(state, chain, timed, floors) {
  let pulled = false;
  const starts = timed.map((one) => one.start);
  for (let back = 0; back < chain.length - 1; back += 1) {
    const i = chain.length - 2 - back;
    const most = loadingOf(chain, i + 1) >= 0 || followsIndex(chain, i + 1) !== i ? 0 : chain[i + 1].wait_most_s;
    const start = starts[i + 1] - most - (chain[i].end - chain[i].start);
    const free = timed[i].status === "open" && saidAt(state.begun, chain[i].step_id) === 0;
    if (free && most > 0 && start > starts[i]) {
      starts[i] = start;
      floors[i] = start;
      pulled = true;
    }
  }
  return pulled;
}
