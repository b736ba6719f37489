// What goes along the timed chain: the steps beside it, and the dough. Twin of webapp/core/now/along.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { timedOf } from "./chain.js";
import { anchorOf, keptOut, latest, notOver, placeAfter, saidAt } from "./marked.js";
import { HORIZON_S, baked, goAlong, mixedDough, put, reach } from "./walk.js";

export function walkAlong(plan, state, now, timed, lit_at) {
  const chain = timed.map((one) => one.step);
  const walk = { now, paths: null, samples: [], waiting: timed.map(() => null), dough: null, here: null };
  const mixing = mixingIndex(plan, chain);
  if (mixing < 0) {
    begin(walk, mixedDough(plan, state, plan.rise.mixed_at, lit_at));
  }
  for (let i = 0; i < timed.length; i += 1) {
    goThrough(walk, state, timed, i);
    if (i === mixing) {
      const dough = mixedDough(plan, state, timed[i].end + plan.rise.mixed_at - chain[i].end, lit_at);
      put(dough, chain[i].place, chain[i].vessel);
      begin(walk, dough);
    }
  }
  if (walk.here === null && walk.dough !== null && walk.dough.at <= now) {
    walk.here = { ...walk.dough };
  }
  return walk;
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

function begin(walk, dough) {
  walk.dough = dough;
  walk.samples.push(sampleOf(dough));
}

export function goThrough(walk, state, timed, i) {
  const dough = walk.dough;
  if (dough === null) {
    return;
  }
  advance(walk, dough, timed[i].start);
  walk.waiting[i] = { ...dough };
  advance(walk, dough, timed[i].end);
  const stays = timed[i].step.kind === "relax" || (timed[i].status === "passed" && keptOut(state, timed[i].step));
  put(dough, stays ? dough.place : placeOf(state, timed[i]), timed[i].step.vessel);
  walk.samples.push(sampleOf(dough));
}

const placeOf = (state, timed) => placeAfter(timed.step, state.way, timed.status === "open" ? null : timed.end);

function advance(walk, dough, until) {
  while (dough.at < until) {
    if (walk.here === null && dough.at === walk.now) {
      walk.here = { ...dough };
    }
    goAlong(walk.paths, dough, dough.at < walk.now && walk.now < until ? walk.now : until);
    if (walk.paths === null || dough.at >= until) {
      walk.samples.push(sampleOf(dough));
    }
  }
}

function sampleOf(dough) {
  return { at: dough.at, base: dough.base, temp_c: dough.temp_c, place: dough.place };
}

export function sampleAt(samples, at) {
  if (at < samples[0].at) {
    return { at, base: 0, temp_c: 0, place: "" };
  }
  let low = 0;
  let high = samples.length - 1;
  if (at >= samples[high].at) {
    return samples[high];
  }
  while (high - low > 1) {
    const middle = Math.trunc((low + high) / 2);
    if (samples[middle].at <= at) {
      low = middle;
    } else {
      high = middle;
    }
  }
  const a = samples[low];
  const b = samples[high];
  const part = (at - a.at) / (b.at - a.at);
  return { at, base: a.base + (b.base - a.base) * part, temp_c: a.temp_c + (b.temp_c - a.temp_c) * part, place: a.place };
}

export function reached(walk, i, bases) {
  const dough = walk.waiting[i];
  if (dough === null || baked(dough)) {
    return bases.map(() => 0);
  }
  const out = [];
  let probe = { ...dough };
  for (const base of bases) {
    if (dough.base < base) {
      if (base <= probe.base) {
        probe = { ...dough };
      }
      out.push(reach(probe, base, dough.at + HORIZON_S));
    } else {
      out.push(crossed(walk.samples, base));
    }
  }
  return out;
}

function crossed(samples, base) {
  let low = 0;
  let high = samples.length - 1;
  while (high - low > 1) {
    const middle = Math.trunc((low + high) / 2);
    if (samples[middle].base < base) {
      low = middle;
    } else {
      high = middle;
    }
  }
  const a = samples[low];
  const b = samples[high];
  if (b.base <= a.base || base <= a.base) {
    return a.at;
  }
  return a.at + Math.trunc(((base - a.base) / (b.base - a.base)) * (b.at - a.at));
}

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
    if (chain[i].step.step_id === anchorOf(state, step)) {
      start = beside(chain, i, step);
      let overtaken = step.offset_s <= 0 ? chain[i] : chain[chain.length - 1];
      if (step.offset_s <= 0 && step.kind !== "preheat" && i > 0 && chain[i - 1].step.kind === "top") {
        overtaken = chain[i - 1];
      }
      status = overtaken.status === "open" ? "open" : "passed";
      if (overtaken.status !== "open" && overtaken.step.kind === "top") {
        start = overtaken.start + step.start - overtaken.step.start;
      }
    }
  }
  if (status === "open") {
    start = begun !== 0 ? begun : notOver(latest(start, state.later), now, lasts);
  }
  return timedOf(step, start, start + lasts, status);
}

function beside(chain, i, step) {
  const start = chain[i].start + step.offset_s;
  const tops = (one) => one.step.kind === "top" && one.step.load === chain[i].step.load && one.status === "open";
  const before = step.kind === "preheat" ? chain.slice(0, i).filter(tops) : [];
  return before.length > 0 && before[0].start < start ? before[0].start : start;
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
