// What rings, of all bakes on this phone. Twin of webapp/core/now/ringing.py: change both or neither. What the stages mean
// and why the numbers are what they are is said in the Python twin.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

import { BAKE_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";
import { GRID_S } from "./marked.js";

const AT_OVEN = ["load", "preheat"];
const OUT = 0;
const BURNS = 1;
const HEATS = 2;
const FALLS = 3;
const CHORE = 4;
export const PERHAPS = 5;
const PERHAPS_S = 3600;
const BURNT_S = 6 * 3600;
const EVERY_S = 30;
const TIMES = 10;
const SELDOM_S = 300;
const BURNING_TIMES = 34;

function dues(plan, retimed, untimed, now) {
  const out = [];
  if (now >= untimed.eat_at + BURNT_S) {
    return out;
  }
  for (const step of plan.steps) {
    const timed = stepNow(retimed, step);
    const planned = stepNow(untimed, step).start;
    if (timed.status !== "open" || step.presence === "none") {
      continue;
    }
    const eats = step.kind === "serve" && planned <= now && timed.start - now < GRID_S;
    if (timed.start <= now || eats) {
      const since = planned < timed.start ? planned : timed.start;
      if (!BAKE_KINDS.includes(step.kind) || now - since < BURNT_S) {
        out.push({ step_id: step.step_id, since, rank: rankOf(step) });
      }
    } else if (planned <= now && now < planned + PERHAPS_S) {
      out.push({ step_id: step.step_id, since: planned, rank: PERHAPS + rankOf(step) });
    }
  }
  return out;
}

function rankOf(step) {
  if (step.kind === "lift") {
    return OUT;
  }
  if (BAKE_KINDS.includes(step.kind)) {
    return BURNS;
  }
  if (AT_OVEN.includes(step.kind)) {
    return HEATS;
  }
  return step.chain && step.kind !== "serve" ? FALLS : CHORE;
}

export function heed(memory, bakes, now) {
  const out = [];
  for (const bake of bakes) {
    if (bake.over) {
      continue;
    }
    for (const due of dues(bake.plan, bake.retimed, bake.untimed, now)) {
      insert(out, goesOn(entryOf(memory, bake.bake_id, due.step_id), bake.bake_id, due));
    }
  }
  for (const one of memory) {
    const rang = one.stage === "due" || one.stage === "hushed";
    if (rang && entryOf(out, one.bake_id, one.step_id) === null) {
      const stage = endOf(bakes, one);
      if (stage !== "") {
        out.push({ ...one, stage });
      }
    }
  }
  return out;
}

function goesOn(before, bake_id, due) {
  const again = before !== null && (before.rank < PERHAPS || due.rank >= PERHAPS) && (before.stage === "due" || before.stage === "hushed");
  return {
    bake_id,
    step_id: due.step_id,
    stage: again ? before.stage : "due",
    since: due.since,
    rank: due.rank,
    rung: again ? before.rung : 0,
    rung_at: again ? before.rung_at : 0,
  };
}

function endOf(bakes, one) {
  for (const bake of bakes) {
    if (bake.bake_id !== one.bake_id) {
      continue;
    }
    for (const timed of bake.retimed.steps) {
      if (timed.step_id === one.step_id && timed.status !== "open") {
        return "done";
      }
    }
    return bake.over ? "forgotten" : "";
  }
  return "forgotten";
}

function insert(out, entry) {
  let i = out.length;
  while (i > 0 && mattersMore(entry, out[i - 1])) {
    i -= 1;
  }
  out.splice(i, 0, entry);
}

function mattersMore(a, b) {
  if (a.rank !== b.rank) {
    return a.rank < b.rank;
  }
  return a.since < b.since;
}

export function entryOf(memory, bake_id, step_id) {
  for (const one of memory) {
    if (one.bake_id === bake_id && one.step_id === step_id) {
      return one;
    }
  }
  return null;
}

export function ringsNow(memory, now) {
  return memory.filter((one) => one.stage === "due" && isItsTurn(one, now));
}

function isItsTurn(one, now) {
  if (one.rung_at === 0 || now < one.rung_at) {
    return true;
  }
  const burns = one.rank === OUT || one.rank === BURNS || one.rank === HEATS;
  const most = burns ? BURNING_TIMES : TIMES;
  const pause = one.rung < TIMES ? EVERY_S : SELDOM_S;
  return one.rung < most && now - one.rung_at >= pause;
}

export function rang(memory, now, heard) {
  const turn = ringsNow(memory, now);
  return memory.map((one) => (turn.includes(one) ? { ...one, rung: one.rung + (heard ? 1 : 0), rung_at: now } : one));
}

export function hushed(memory) {
  return memory.map((one) => (one.stage === "due" ? { ...one, stage: "hushed" } : one));
}

export function atOnce(memory) {
  return memory.map((one) => (one.stage === "due" ? { ...one, rung_at: 0 } : one));
}
