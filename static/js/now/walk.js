// The dough on its way, minute by minute. Twin of webapp/core/now/walk.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Instants are
// whole UTC seconds, heat is in degrees Celsius. Why things are as they are is said in the Python twin.

import { rateAt, roomAt, roomPath, shareOf } from "../plan/rise.js";

const MINUTE_S = 60;
const STRIDE_S = 600;
export const FORGOTTEN_S = 10 * 86400;
export const DAY_S = 86400;
const REST_C = 0.05;
export const HORIZON_S = 2 * 86400;
const FRESH_S = 3600;
const SHORT_S = 1800;

export function mixedDough(plan, state, at, lit_at) {
  const dough = {
    plan,
    state,
    room: roomPath(plan.rise.room, state.rooms),
    at,
    temp_c: plan.rise.dough_c,
    place: "bench",
    vessel: "bowl",
    share: 0,
    base: 0,
    mixed_at: at,
    lit_at,
    move: 0,
    felt: 0,
    held: false,
  };
  while (dough.move < state.moves.length && state.moves[dough.move].at < at) {
    dough.move += 1;
  }
  while (dough.felt < state.doughs.length && state.doughs[dough.felt].start <= at) {
    if (state.doughs[dough.felt].start >= at - FRESH_S) {
      ({ temp_c: dough.temp_c, held: dough.held } = state.doughs[dough.felt]);
    }
    dough.felt += 1;
  }
  put(dough, "bench", "bowl");
  return dough;
}

export function put(dough, place, vessel) {
  dough.held = dough.held && place === dough.place;
  dough.place = place === "warm" && tooHot(dough) ? "bench" : place;
  dough.vessel = vessel;
  dough.share = shareOf(dough.plan.rise, vessel, dough.place);
}

function tooHot(dough) {
  return dough.lit_at !== 0 && dough.at >= dough.lit_at;
}

export function baked(dough) {
  return dough.place === "oven" || dough.place === "none";
}

function surroundingsC(dough) {
  if (dough.place === "fridge") {
    return dough.plan.rise.fridge_c;
  }
  if (dough.place === "warm") {
    return dough.plan.rise.warm_c;
  }
  return roomAt(dough.room, dough.at);
}

export function followJournal(dough) {
  const moves = dough.state.moves;
  while (dough.move < moves.length && moves[dough.move].at <= dough.at) {
    put(dough, moves[dough.move].place, dough.vessel);
    dough.move += 1;
  }
  const doughs = dough.state.doughs;
  while (dough.felt < doughs.length && doughs[dough.felt].start <= dough.at) {
    ({ temp_c: dough.temp_c, held: dough.held } = doughs[dough.felt]);
    dough.felt += 1;
  }
}

function stride(dough) {
  return dough.at - dough.mixed_at < FORGOTTEN_S ? STRIDE_S : DAY_S;
}

function nextStop(dough, gap_c, until) {
  let stop = dough.at + (-REST_C < gap_c && gap_c < REST_C ? stride(dough) : MINUTE_S);
  if (until < stop) {
    stop = until;
  }
  if (dough.move < dough.state.moves.length && dough.state.moves[dough.move].at < stop) {
    stop = dough.state.moves[dough.move].at;
  }
  if (dough.place === "warm" && dough.at < dough.lit_at && dough.lit_at < stop) {
    stop = dough.lit_at;
  }
  if (dough.felt < dough.state.doughs.length && dough.state.doughs[dough.felt].start < stop) {
    stop = dough.state.doughs[dough.felt].start;
  }
  for (const span of dough.room) {
    if (dough.at < span.start && span.start < stop) {
      stop = span.start;
    }
  }
  return stop;
}

function goOn(dough, until) {
  if (baked(dough)) {
    dough.at = until;
    return;
  }
  if (dough.place === "warm" && tooHot(dough)) {
    put(dough, "bench", dough.vessel);
  }
  const gap_c = dough.held ? 0 : surroundingsC(dough) - dough.temp_c;
  const stop = nextStop(dough, gap_c, until);
  const span = stop - dough.at;
  dough.base += rateAt(dough.plan.rise.table, dough.temp_c) * dough.state.pace * span;
  dough.temp_c += span > MINUTE_S ? gap_c : gap_c * dough.share * (span / MINUTE_S);
  dough.at = stop;
  followJournal(dough);
}

export function goAlong(paths, dough, until) {
  if (paths === null || until - dough.at <= SHORT_S || baked(dough)) {
    goOn(dough, until);
    return;
  }
  if (dough.place === "warm" && tooHot(dough)) {
    put(dough, "bench", dough.vessel);
  }
  const end = nextChange(dough, until);
  const path = pathOf(paths, dough, end);
  let i = path.length - 1;
  while (path[i].at > end) {
    i -= 1;
  }
  const { at, temp_c, base, felt, held } = path[i];
  Object.assign(dough, { at, temp_c, base, felt, held });
  if (dough.at < end) {
    goOn(dough, end);
  }
  followJournal(dough);
}

function nextChange(dough, until) {
  const moves = dough.state.moves;
  let out = dough.move < moves.length && moves[dough.move].at < until ? moves[dough.move].at : until;
  if (dough.place === "warm" && dough.at < dough.lit_at && dough.lit_at < out) {
    out = dough.lit_at;
  }
  return out;
}

function pathOf(paths, dough, end) {
  let path = null;
  for (const one of paths) {
    if (sameDough(one[0], dough)) {
      path = one;
    }
  }
  if (path === null) {
    path = [{ ...dough, state: { ...dough.state, moves: [] }, move: 0, lit_at: 0 }];
    paths.push(path);
  }
  while (path[path.length - 1].at < end) {
    const following = { ...path[path.length - 1] };
    goOn(following, following.at + DAY_S);
    path.push(following);
  }
  return path;
}

function sameDough(a, b) {
  const here = a.at === b.at && a.place === b.place && a.vessel === b.vessel && a.held === b.held;
  return here && a.temp_c === b.temp_c && a.base === b.base;
}

export function reach(probe, base, last) {
  while (probe.base < base) {
    if (baked(probe) || probe.at > last) {
      return 0;
    }
    const begun_at = probe.at;
    const before = probe.base;
    goOn(probe, probe.at + stride(probe));
    if (probe.base >= base) {
      return begun_at + Math.trunc(((base - before) / (probe.base - before)) * (probe.at - begun_at));
    }
  }
  return probe.at;
}
