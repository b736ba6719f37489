// New times for what is left, given what happened. Twin of webapp/core/now/retime.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { doughOf, latest, pull, saidAt, timedOf, walkChain } from "./chain.js";
import { DAY_S, FORGOTTEN_S, LEAST_FACTOR, MOST_FACTOR } from "./walk.js";

const CURVE_S = 900;

export function retime(plan, state, now) {
  const chain = plan.steps.filter((step) => step.chain);
  const floors = chain.map(() => 0);
  let walk = walkChain(plan, state, now, chain, floors);
  if (pull(state, chain, walk.timed, floors)) {
    walk = walkChain(plan, state, now, chain, floors);
  }
  const timed = inPlanOrder(plan, state, now, walk.timed);
  const current = firstOpen(timed, "");
  const here = sampleAt(walk.samples, now);
  const dough = doughOf(walk);
  const ready_at = chain.length === 0 ? plan.ready_at : walk.timed[chain.length - 1].start;
  const [low, high] = band(plan, dough, here);
  return {
    steps: timed.map((one) => stepOut(plan, walk.samples, dough, one)),
    current,
    next: firstOpen(timed, current),
    progress: here.base * dough.factor,
    progress_low: low,
    progress_high: high,
    dough_c: here.temp_c,
    place: here.place,
    factor: dough.factor,
    curve: curve(plan, walk.samples, dough),
    supper: state.supper,
    ready_at,
    late_s: ready_at > state.supper ? ready_at - state.supper : 0,
    outside: outside(plan, state, walk.samples, dough),
  };
}

function sampleAt(samples, at) {
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
  return {
    at,
    base: a.base + (b.base - a.base) * part,
    temp_c: a.temp_c + (b.temp_c - a.temp_c) * part,
    place: a.place,
  };
}

function band(plan, dough, sample) {
  const progress = sample.base * dough.factor;
  if (dough.read_at === 0) {
    return [progress * plan.rise.band_low, progress * plan.rise.band_high];
  }
  if (sample.at <= dough.read_at) {
    return [progress, progress];
  }
  const read = dough.read_base * dough.factor;
  const low = read + ((progress - read) * (1 + plan.rise.band_low)) / 2;
  return [low, read + ((progress - read) * (1 + plan.rise.band_high)) / 2];
}

function inPlanOrder(plan, state, now, chain) {
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
  for (const one of chain) {
    if (one.step.step_id === step.anchor) {
      start = one.start + step.offset_s;
      const overtaken = step.offset_s <= 0 ? one : chain[chain.length - 1];
      status = overtaken.status === "open" ? "open" : "passed";
    }
  }
  if (status === "open") {
    start = begun !== 0 ? begun : latest(start, latest(now, state.later));
  }
  return timedOf(step, start, start + lasts, status);
}

function firstOpen(timed, but) {
  let out = "";
  let start = 0;
  for (const one of timed) {
    if (one.status === "open" && one.step.step_id !== but && (out === "" || one.start < start)) {
      out = one.step.step_id;
      start = one.start;
    }
  }
  return out;
}

function stepOut(plan, samples, dough, one) {
  const sample = sampleAt(samples, one.start);
  const [low, high] = band(plan, dough, sample);
  return {
    step_id: one.step.step_id,
    start: one.start,
    end: one.end,
    status: one.status,
    moved_s: one.start - one.step.start,
    progress: sample.base * dough.factor,
    progress_low: low,
    progress_high: high,
    flag: one.flag,
    early_at: one.early_at,
    best_at: one.best_at,
    past_at: one.past_at,
  };
}

function curve(plan, samples, dough) {
  const out = [];
  let end = samples[0].at;
  for (const sample of samples) {
    if (sample.place !== "oven" && sample.place !== "none") {
      end = sample.at;
    }
  }
  let at = samples[0].at;
  while (at < end) {
    out.push(point(plan, dough, sampleAt(samples, at)));
    at += at - samples[0].at < FORGOTTEN_S ? CURVE_S : DAY_S;
  }
  out.push(point(plan, dough, sampleAt(samples, end)));
  return out;
}

function point(plan, dough, sample) {
  const [low, high] = band(plan, dough, sample);
  return { at: sample.at, progress: sample.base * dough.factor, low, high, dough_c: sample.temp_c };
}

function outside(plan, state, samples, dough) {
  const table = plan.rise.table;
  const last_c = table.first_c + table.step_c * (table.rates.length - 1);
  const out = [];
  if (samples.some((sample) => sample.temp_c < table.first_c)) {
    out.push("colder");
  }
  if (samples.some((sample) => sample.temp_c > last_c)) {
    out.push("warmer");
  }
  const top = plan.rise.glass.length > 0 ? plan.rise.glass[plan.rise.glass.length - 1].times : 0;
  if (state.glasses.some((glass) => glass.times > top)) {
    out.push("glass");
  }
  if (dough.factor === LEAST_FACTOR || dough.factor === MOST_FACTOR) {
    out.push("factor");
  }
  if (dough.glass > 0 && dough.read_at === 0) {
    out.push("soon");
  }
  return out;
}
