// Ways out when life slips, by the same arithmetic. Twin of webapp/core/now/rescue.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

import { retime } from "./retime.js";

const NEAR_S = 60;

export function rescues(plan, state, now) {
  const here = retime(plan, state, now);
  const out = [];
  const target = markedStep(plan, here);
  if (target !== null && here.place !== "") {
    if (target.flag === "past" && here.place !== "fridge") {
      out.push(fridge(plan, state, now, target));
    }
    if ((target.flag === "waits" || target.flag === "never") && here.place !== "warm") {
      out.push(...warm(plan, state, now, target));
    }
    if (target.flag === "past") {
      out.push(rescueOf("past", target.step_id, { until: target.past_at }));
    }
  }
  if (here.late_s > 0) {
    out.push(rescueOf("later", here.steps[here.steps.length - 1].step_id, { ready_at: here.ready_at }));
  }
  return out;
}

function rescueOf(kind, step_id, numbers) {
  return { kind, step_id, by: 0, until: 0, sooner_s: 0, ready_at: 0, ...numbers };
}

function markedStep(plan, here) {
  for (let i = 0; i < plan.steps.length; i += 1) {
    const flagged = ["past", "never", "waits"].includes(here.steps[i].flag);
    if (plan.steps[i].mark !== null && here.steps[i].status === "open" && flagged) {
      return here.steps[i];
    }
  }
  return null;
}

function ifMoved(plan, state, now, at, place, step_id) {
  const before = state.moves.filter((move) => move.at <= at);
  const after = state.moves.filter((move) => move.at > at);
  const moved = retime(plan, { ...state, moves: [...before, { at, place }, ...after] }, now);
  for (const step of moved.steps) {
    if (step.step_id === step_id) {
      return step;
    }
  }
  throw new Error("a re-timed plan keeps its steps");
}

function fridge(plan, state, now, target) {
  const held = ifMoved(plan, state, now, now, "fridge", target.step_id);
  if (held.flag === "past") {
    return rescueOf("fridge", target.step_id, { until: held.past_at });
  }
  let low = now;
  let high = target.past_at > now ? target.past_at : now;
  while (high - low > NEAR_S) {
    const middle = Math.trunc((low + high) / 2);
    if (ifMoved(plan, state, now, middle, "fridge", target.step_id).flag === "past") {
      high = middle;
    } else {
      low = middle;
    }
  }
  return rescueOf("fridge", target.step_id, { by: low, until: held.past_at });
}

function warm(plan, state, now, target) {
  const helped = ifMoved(plan, state, now, now, "warm", target.step_id);
  if (helped.early_at === 0) {
    return [];
  }
  const sooner_s = target.early_at !== 0 ? target.start - helped.start : 0;
  if (sooner_s <= 0 && target.early_at !== 0) {
    return [];
  }
  return [rescueOf("warm", target.step_id, { until: helped.early_at, sooner_s })];
}
