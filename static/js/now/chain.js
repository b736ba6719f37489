// The chain of a plan's steps, timed one after the other with the dough walked along. Twin of webapp/core/now/chain.py:
// change both or neither. Why things are as they are is said in the Python twin.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

import { baked, goOn, markTimes, mixedDough, put } from "./walk.js";

export function walkChain(plan, state, now, chain, floors) {
  const walk = { timed: [], samples: [], dough: null };
  const mixing = mixingIndex(plan, chain);
  const settled = lastSettled(state, chain);
  if (mixing < 0) {
    begin(walk, mixedDough(plan, state, plan.rise.mixed_at));
  }
  for (let i = 0; i < chain.length; i += 1) {
    const before = i > 0 ? walk.timed[i - 1].end : 0;
    const wait = i > 0 ? chain[i].start - chain[i - 1].end : 0;
    const one =
      i <= settled
        ? settledStep(state, chain, i, before)
        : openStep(plan, state, now, chain[i], before, wait, floors[i], walk.dough);
    walk.timed.push(one);
    if (walk.dough !== null) {
      advance(walk, one.end);
      put(walk.dough, chain[i].place, chain[i].vessel);
    }
    if (i === mixing) {
      const dough = mixedDough(plan, state, one.end + plan.rise.mixed_at - chain[i].end);
      put(dough, chain[i].place, chain[i].vessel);
      begin(walk, dough);
    }
  }
  return walk;
}

export function doughOf(walk) {
  return walk.dough;
}

function begin(walk, dough) {
  walk.dough = dough;
  walk.samples.push(sampleOf(dough));
}

function mixingIndex(plan, chain) {
  let out = -1;
  for (let i = 0; i < chain.length; i += 1) {
    if (chain[i].end <= plan.rise.mixed_at) {
      out = i;
    }
  }
  return out;
}

function lastSettled(state, chain) {
  let out = -1;
  for (let i = 0; i < chain.length; i += 1) {
    if (saidAt(state.done, chain[i].step_id) !== 0) {
      out = i;
    }
  }
  return out;
}

export function saidAt(said, step_id) {
  for (const one of said) {
    if (one.step_id === step_id) {
      return one.at;
    }
  }
  return 0;
}

export function timedOf(step, start, end, status) {
  return { step, start, end, status, flag: "", early_at: 0, best_at: 0, past_at: 0 };
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

function openStep(plan, state, now, step, before, wait, floor, dough) {
  const lasts = step.end - step.start;
  const bound = boundOf(plan, state, now, step, before, wait, floor);
  const one = timedOf(step, bound, bound + lasts, "open");
  if (step.mark !== null && dough !== null && !baked(dough)) {
    [one.early_at, one.best_at, one.past_at] = markTimes(dough, step.mark, bound);
  }
  const begun = saidAt(state.begun, step.step_id);
  if (begun !== 0) {
    one.start = begun;
    one.end = begun + lasts > now ? begun + lasts : now;
    return one;
  }
  if (one.early_at > bound) {
    one.start = one.early_at;
    one.end = one.start + lasts;
  }
  one.flag = flagOf(one, bound, before, dough);
  if (step.presence === "none" && now >= one.end) {
    one.status = "passed";
  }
  return one;
}

function boundOf(plan, state, now, step, before, wait, floor) {
  let out = step.start + state.supper - plan.supper;
  if (before !== 0) {
    if (step.wait_most_s > 0 && out > before + step.wait_most_s) {
      out = before + wait;
    }
    out = latest(out, before + step.wait_least_s);
  }
  out = latest(out, floor);
  if (step.presence !== "none") {
    out = latest(out, latest(state.later, now));
  }
  for (const side of plan.steps) {
    if (!side.chain && side.anchor === step.step_id && side.kind === "preheat") {
      out = latest(out, litAt(state, now, side) - side.offset_s);
    }
  }
  return out;
}

export function latest(a, b) {
  return a > b ? a : b;
}

function litAt(state, now, side) {
  const begun = saidAt(state.begun, side.step_id);
  const done = saidAt(state.done, side.step_id);
  if (begun !== 0) {
    return begun;
  }
  if (done !== 0) {
    return done - (side.end - side.start);
  }
  return latest(now, state.later);
}

function flagOf(one, bound, before, dough) {
  const step = one.step;
  if (step.mark !== null && dough !== null && !baked(dough)) {
    if (one.early_at === 0) {
      return "never";
    }
    if (one.past_at !== 0 && one.start > one.past_at) {
      return "past";
    }
    if (one.start > bound) {
      return "waits";
    }
  }
  if (before !== 0 && step.wait_most_s > 0 && one.start > before + step.wait_most_s) {
    return "long";
  }
  return "";
}

export function pull(state, chain, timed, floors) {
  let pulled = false;
  const starts = timed.map((one) => one.start);
  for (let back = 0; back < chain.length - 1; back += 1) {
    const i = chain.length - 2 - back;
    const most = chain[i + 1].wait_most_s;
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

function advance(walk, until) {
  const dough = walk.dough;
  while (dough !== null && dough.at < until) {
    goOn(dough, until);
    walk.samples.push(sampleOf(dough));
  }
}

function sampleOf(dough) {
  return { at: dough.at, base: dough.base, temp_c: dough.temp_c, place: dough.place };
}
