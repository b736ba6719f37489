// How quick this dough is: one hidden number. Twin of webapp/core/now/estimate.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { SEEN_KINDS } from "../plan/kinds.js";
import { sampleAt } from "./along.js";
import { exp, ln, root } from "./ln_exp.js";
import { chainOf, loadIndex, pressIndex } from "./marked.js";

const Z_80 = 1.2815515655;
const GLASS_SD = 0.12;
const SMALL_TIMES = 1.5;
const LINE_SD = 0.75 * 0.03;
const LEAST_TIMES = 1.05;
const SHARED = 0.85;
const LOOK_SD = 0.3;
const POKE_SD = 0.25;
const LOOK_OF_BEST = [["hardly", 0.3333333333333333, -1], ["doubled", 0.75, 0], ["well-over", 1, 0], ["sinking", 0, 1]];
const POKE_OF_BEST = [["at-once", 0.8, -1], ["slowly", 1, 0], ["stays", 1.25, 1]];
const LEAST_READ = 0.1;
const STRANGE = 3;
const FREEDOM = 4;
const LEAST_SD = 0.02;
const ROOM_SD = 0.12;

export function estimate(plan, state, samples, now) {
  const seen = observations(plan, state, samples, now);
  const prior_sd = priorOf(plan);
  const [about] = posterior(seen.filter((one) => !one.side), prior_sd);
  const [mean, precision] = posterior(seen.filter((one) => one.side * (about - one.ln_ratio) <= 0), prior_sd);
  const again = seen.some((one) => trustIn(one, prior_sd) < 1);
  const read_base = Math.max(0, ...seen.map((one) => one.base));
  const soon = seen.length < lookedAt(state, now);
  return { mean, sd: root(1 / precision), factor: seen.length > 0 ? exp(mean) : 1, read_base, again, soon };
}

function posterior(seen, prior_sd) {
  let precision = 1 / (prior_sd * prior_sd);
  let total = 0;
  for (const kind of SEEN_KINDS) {
    const [weight, pull] = takenTogether(seen, kind, prior_sd);
    precision = precision + weight;
    total = total + pull;
  }
  return [total / precision, precision];
}

function takenTogether(seen, kind, prior_sd) {
  let leads = 0;
  let trusted = 0;
  let told = 0;
  let own = 0;
  let shared = 0;
  for (const one of seen) {
    if (one.kind === kind) {
      const trust = one.lead * trustIn(one, prior_sd);
      leads = leads + one.lead;
      trusted = trusted + trust;
      told = told + trust * one.ln_ratio;
      own = own + one.lead * one.lead * (one.sd * one.sd - one.shared * one.shared);
      shared = shared + one.lead * one.shared;
    }
  }
  if (leads <= 0) {
    return [0, 0];
  }
  const weight = (trusted * leads) / (shared * shared + own);
  return [weight, (weight * told) / trusted];
}

function trustIn(one, prior_sd) {
  const z2 = (one.ln_ratio * one.ln_ratio) / (one.sd * one.sd + prior_sd * prior_sd);
  return z2 > STRANGE * STRANGE ? (FREEDOM + 1) / (FREEDOM + z2) : 1;
}

function priorOf(plan) {
  const sd = plan.rise.sd > 0 ? plan.rise.sd : ln(plan.rise.band_high) / Z_80;
  return sd > LEAST_SD ? sd : LEAST_SD;
}

function lookedAt(state, now) {
  return [...state.glasses, ...state.looks, ...state.pokes].filter((one) => one.at <= now).length;
}

function glassProgress(rise, times) {
  let below_times = 1;
  let below = 0;
  for (const mark of rise.glass) {
    if (times <= mark.times) {
      return below + ((mark.progress - below) * (times - below_times)) / (mark.times - below_times);
    }
    below_times = mark.times;
    below = mark.progress;
  }
  return below;
}

function heightSd(times) {
  const least = Math.max(times, SMALL_TIMES);
  return ((GLASS_SD / 2) * least) / (least - 1);
}

function observations(plan, state, samples, now) {
  const out = [];
  for (const glass of state.glasses) {
    const times = glass.times > LEAST_TIMES ? glass.times : LEAST_TIMES;
    const line = LINE_SD / (times - 1);
    const height = heightSd(times);
    const sd = root(height * height + line * line);
    const lead = (times - 1) / times;
    const progress = glassProgress(plan.rise, times);
    observe(out, samples, now, { kind: "glass", at: glass.at, progress, sd, shared: height * SHARED, lead: lead * lead, side: 0 });
  }
  const [press, load] = marksOf(plan);
  for (const seen of state.looks) {
    if (press !== null) {
      const full = press.full > 0 ? press.full : press.best; // none in a bundle of before
      const [, share, side] = ofWord(LOOK_OF_BEST, seen.said);
      const progress = side > 0 ? press.past : share * full;
      observe(out, samples, now, { kind: "look", at: seen.at, progress, sd: LOOK_SD, shared: LOOK_SD * SHARED, lead: 1, side });
    }
  }
  for (const seen of state.pokes) {
    if (load !== null) {
      const [, share, side] = ofWord(POKE_OF_BEST, seen.said);
      const progress = share * load.best;
      observe(out, samples, now, { kind: "poke", at: seen.at, progress, sd: POKE_SD, shared: POKE_SD * SHARED, lead: 1, side });
    }
  }
  return out;
}

function observe(out, samples, now, read) {
  const sample = sampleAt(samples, read.at);
  const rising = sample.base >= LEAST_READ && sample.place !== "oven" && sample.place !== "none";
  if (read.at <= now && rising && read.progress > 0) {
    out.push({ ...read, ln_ratio: ln(read.progress / sample.base), base: sample.base });
  }
}

function marksOf(plan) {
  const chain = chainOf(plan);
  const press = pressIndex(chain);
  const load = loadIndex(chain);
  return [press >= 0 ? chain[press].mark : null, load >= 0 ? chain[load].mark : null];
}

function ofWord(words, said) {
  for (const one of words) {
    if (one[0] === said) {
      return one;
    }
  }
  return ["", 0, 0];
}

export function band(plan, known, base) {
  const progress = base * known.factor;
  if (known.read_base <= 0) {
    return [progress * plan.rise.band_low, progress * plan.rise.band_high];
  }
  const to_come = base > known.read_base ? (ROOM_SD * (base - known.read_base)) / base : 0;
  const spread = exp(Z_80 * root(known.sd * known.sd + to_come * to_come));
  return [progress / spread, progress * spread];
}
