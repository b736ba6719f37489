// New times for what is left, given what happened. Twin of webapp/core/now/retime.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { inPlanOrder, ovenLitAt, reached, sampleAt, walkAlong } from "./along.js";
import { timeChain } from "./chain.js";
import { band, estimate } from "./estimate.js";
import { GRID_S, chainOf, eatAt, readyIndex, trayIn } from "./marked.js";
import { DAY_S, FORGOTTEN_S } from "./walk.js";

const CURVE_S = 900;

export function stand(plan, state, now) {
  const chain = timeChain(plan, state, now);
  const timed = inPlanOrder(plan, state, now, chain);
  const walk = walkAlong(plan, state, now, chain, ovenLitAt(plan, timed));
  const ready_at = chain.length === 0 ? plan.ready_at : chain[readyIndex(chainOf(plan))].start;
  const agreed = state.way !== null ? state.way.result : "";
  const eat_at = eatAt(ready_at, state.supper);
  const off = trayIn(state, chainOf(plan)) ? "off-then" : "off";
  return { chain, timed, walk, known: estimate(plan, state, walk.samples, now), ready_at, eat_at, agreed, cold: state.cold_again ? off : "" };
}

export function retime(plan, state, now) {
  const stands = stand(plan, state, now);
  const known = stands.known;
  const current = firstOpen(stands.timed, "");
  const here = sampleAt(stands.walk.samples, now);
  const [low, high] = band(plan, known, here.base);
  return {
    steps: stepsOut(plan, stands),
    current,
    next: firstOpen(stands.timed, current),
    progress: here.base * known.factor,
    progress_low: low,
    progress_high: high,
    dough_c: here.temp_c,
    place: here.place,
    factor: known.factor,
    curve: curve(plan, known, stands.walk.samples),
    supper: state.supper,
    ready_at: stands.ready_at,
    late_s: stands.ready_at > state.supper ? stands.ready_at - state.supper : 0,
    outside: outside(plan, state, stands),
    eat_at: stands.eat_at,
    ln_mean: known.mean,
    ln_sd: known.sd,
    moves: movesToCome(plan, state, stands, now),
    way: state.way !== null ? state.way.kind : "",
  };
}

function eatenLate(stands, one) {
  if (one.status !== "open" || one.step.kind !== "serve") {
    return 0;
  }
  const late_s = stands.eat_at - one.start;
  return late_s > -GRID_S && late_s < GRID_S ? late_s : 0;
}

function movesToCome(plan, state, stands, now) {
  if (state.way === null) {
    return [];
  }
  const out = state.moves.filter((move) => move.at >= now);
  for (const one of stands.chain) {
    const tray = one.step.mark !== null && one.step.kind !== "load";
    if (tray && one.status === "open" && state.way.proof !== "") {
      out.push({ at: one.end, place: state.way.proof });
    }
  }
  const lit_at = ovenLitAt(plan, stands.timed);
  const before = sampleAt(stands.walk.samples, lit_at - 1);
  if (lit_at > now && before.place === "warm") {
    out.push({ at: lit_at, place: "bench" });
  }
  return out;
}

function firstOpen(timed, but) {
  let [out, start] = ["", 0];
  for (const one of timed) {
    if (one.status === "open" && one.step.step_id !== but && (out === "" || one.start < start)) {
      out = one.step.step_id;
      start = one.start;
    }
  }
  return out;
}

function stepsOut(plan, stands) {
  const out = [];
  let i = 0;
  for (const one of stands.timed) {
    out.push(stepOut(plan, stands, one, one.step.chain ? i : -1));
    if (one.step.chain) {
      i += 1;
    }
  }
  return out;
}

function stepOut(plan, stands, one, i) {
  const { base, temp_c } = sampleAt(stands.walk.samples, one.start);
  const progress = base * stands.known.factor;
  const [low, high] = band(plan, stands.known, base);
  const [early_at, best_at, past_at] = markTimes(stands, one, i);
  const late_s = eatenLate(stands, one);
  return {
    step_id: one.step.step_id,
    start: one.start + late_s,
    end: one.end + late_s,
    status: one.status,
    moved_s: one.start - one.step.start,
    progress,
    progress_low: low,
    progress_high: high,
    flag: flagOf(stands, one, i, progress, early_at),
    early_at,
    best_at,
    past_at,
    dough_c: temp_c,
  };
}

function markTimes(stands, one, i) {
  const mark = one.step.mark;
  if (mark === null || i < 0 || one.status !== "open") {
    return [0, 0, 0];
  }
  const factor = stands.known.factor;
  return reached(stands.walk, i, [mark.early / factor, mark.best / factor, mark.past / factor]);
}

function flagOf(stands, one, i, progress, early_at) {
  const mark = one.step.mark;
  if (mark !== null && i >= 0 && one.status === "open" && stands.walk.waiting[i] !== null) {
    if (progress > mark.past && stands.agreed !== "bit-past" && stands.agreed !== "past") {
      return "past";
    }
    if (progress < mark.best) {
      return progress >= mark.early || youngAgreed(stands.agreed, one.step) ? "" : early_at === 0 ? "never" : "young";
    }
  }
  if (stands.cold !== "" && one.step.kind === "preheat" && one.start > stands.walk.now) {
    return stands.cold;
  }
  return one.long ? "long" : "";
}

function youngAgreed(agreed, step) {
  return agreed === "young" || agreed === "bit-young" || (agreed !== "" && step.kind !== "load");
}

function curve(plan, known, samples) {
  const out = [];
  let end = samples[0].at;
  for (const sample of samples) {
    if (sample.place !== "oven" && sample.place !== "none") {
      end = sample.at;
    }
  }
  let at = samples[0].at;
  while (at < end) {
    out.push(point(plan, known, sampleAt(samples, at)));
    at += at - samples[0].at < FORGOTTEN_S ? CURVE_S : DAY_S;
  }
  out.push(point(plan, known, sampleAt(samples, end)));
  return out;
}

function point(plan, known, sample) {
  const [low, high] = band(plan, known, sample.base);
  return { at: sample.at, progress: sample.base * known.factor, low, high, dough_c: sample.temp_c };
}

function outside(plan, state, stands) {
  const table = plan.rise.table;
  const last_c = table.first_c + table.step_c * (table.rates.length - 1);
  const samples = stands.walk.samples;
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
  if (stands.known.soon) {
    out.push("soon");
  }
  if (stands.known.again) {
    out.push("again");
  }
  return out;
}
