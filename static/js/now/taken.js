// What the journal says of ways that were taken, and of supper. Twin of webapp/core/now/taken.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { RESTING_PLACES } from "../plan/kinds.js";
import { kindNow, latest, saidAt } from "./marked.js";

const EMPTY_S = 1200;

export function textOf(event, key) {
  const value = event.data[key];
  return typeof value === "string" ? value : "";
}

export function numberOf(event, key) {
  const value = event.data[key];
  return typeof value === "number" ? value : 0;
}

const placeSaid = (value) => (RESTING_PLACES.includes(value) ? value : "");

export function supperSaid(said, planned, which) {
  let out = planned;
  for (const event of said) {
    if (event.kind === "supper") {
      out = Math.trunc(numberOf(event, "instant"));
    }
    if (event.kind === "way" && (which === "all" || (which === "asked" && event.data.asked === true))) {
      out = Math.trunc(numberOf(event, "supper"));
    }
  }
  return out;
}

export function waySaid(said) {
  let out = null;
  for (const event of said) {
    if (event.kind === "supper") {
      out = null;
    }
    if (event.kind === "way") {
      const press_at = Math.trunc(numberOf(event, "press"));
      const load_at = Math.trunc(numberOf(event, "load"));
      const result = event.data.asked === true ? textOf(event, "result") : "";
      out = { at: event.at, kind: kindNow(out, textOf(event, "way")), press_at, load_at, proof: placeSaid(event.data.proof), result, given_up: numberOf(event, "given_up") };
    }
  }
  return out;
}

export function movesSaid(plan, said, happened, done) {
  const out = happened.filter((e) => e.kind === "moved" && placeSaid(e.data.place) !== "").map((e) => ({ at: e.at, place: e.data.place }));
  for (let i = 0; i < said.length; i += 1) {
    if (said[i].kind === "way") {
      for (const move of [...movesOf(said[i]), ...trayMoves(plan, said[i], done)]) {
        if (!calledOff(said, i, move.at)) {
          putIn(out, move);
        }
      }
    }
  }
  return out;
}

function trayMoves(plan, event, done) {
  const proof = placeSaid(event.data.proof);
  const pressings = plan.steps.filter((step) => step.mark !== null && step.kind !== "load").map((step) => step.step_id);
  const out = [];
  for (const one of done) {
    if (proof !== "" && pressings.includes(one.step_id) && one.at >= event.at) {
      out.push({ at: one.at + 1, place: proof });
    }
  }
  return out;
}

function calledOff(said, i, at) {
  return said.slice(i + 1).some((event) => (event.kind === "way" || event.kind === "supper") && event.at <= at);
}

function putIn(moves, move) {
  let i = moves.length;
  while (i > 0 && move.at < moves[i - 1].at) {
    i -= 1;
  }
  moves.splice(i, 0, move);
}

function movesOf(event) {
  const rows = Array.isArray(event.data.moves) ? event.data.moves : [];
  const out = [];
  for (const row of rows) {
    const there = typeof row === "object" && row !== null ? row : {};
    if (Number.isInteger(there.at) && placeSaid(there.place) !== "") {
      out.push({ at: there.at, place: there.place });
    }
  }
  return out;
}

const ovenOf = (plan) => plan.steps.find((step) => step.kind === "preheat") ?? null;

const stepOf = (plan, step_id) => plan.steps.find((step) => step.step_id === step_id) ?? null;

const leftEmpty = (hot_at, now, until) => until - latest(hot_at, now) > EMPTY_S;

function offTillThen(oven, hot_at, now, load_at) {
  return leftEmpty(hot_at, now, load_at) && load_at + oven.offset_s > now;
}

function goesCold(plan, oven, load, hot_at, since, event) {
  if (event.kind === "later") {
    return leftEmpty(hot_at, since, Math.trunc(numberOf(event, "until")));
  }
  if (event.kind === "supper" && load.step_id !== oven.anchor) {
    return offTillThen(oven, hot_at, event.at, load.start + Math.trunc(numberOf(event, "instant")) - plan.supper);
  }
  const first = stepOf(plan, oven.anchor);
  const after_s = first !== null ? load.start - first.start : 0;
  return event.kind === "way" && offTillThen(oven, hot_at, event.at, Math.trunc(numberOf(event, "load")) + after_s);
}

export function cooled(plan, state, now, load_at) {
  const oven = ovenOf(plan);
  const lit_at = oven !== null ? saidAt(state.done, oven.step_id) : 0;
  if (oven === null || lit_at === 0 || !offTillThen(oven, lit_at - oven.offset_s, now, load_at)) {
    return state;
  }
  return { ...state, done: state.done.filter((one) => one.step_id !== oven.step_id), cold_again: true };
}

function putOffSince(since, hot_at, event) {
  const until = event.kind === "later" ? Math.trunc(numberOf(event, "until")) : 0;
  return since < hot_at && until > hot_at ? latest(hot_at, event.at) : since;
}

export function ovenSaid(plan, said) {
  const oven = ovenOf(plan);
  let loads = plan.steps.filter((step) => step.kind === "load");
  let fire = { gone: [], off: false, load: "" };
  let [before, lit, hot_at, since] = [[], [], 0, 0];
  for (const event of oven !== null ? said : []) {
    const step = event.kind === "done" ? stepOf(plan, textOf(event, "step_id")) : null;
    since = putOffSince(since, hot_at, event);
    if (step !== null && step.kind === "load") {
      loads = loads.filter((one) => one.step_id !== step.step_id);
      fire = fire.off ? { gone: before, off: false, load: fire.load } : fire;
      hot_at = event.at + liftedAfter(plan, step);
    } else if (step !== null && step.kind === "lift") {
      hot_at = event.at;
    } else if (step !== null && step.step_id === oven.step_id) {
      hot_at = fire.off || hot_at === 0 ? event.at - oven.offset_s : hot_at;
      lit = [...lit, event];
      fire = { gone: fire.gone, off: false, load: fire.load };
    } else if (event.kind === "later" && event.data.heats === true) {
      hot_at = hot_at !== 0 ? Math.trunc(numberOf(event, "until")) : 0;
    } else if (hot_at !== 0 && !fire.off && loads.length > 0 && goesCold(plan, oven, loads[0], hot_at, since, event)) {
      before = fire.gone;
      fire = { gone: lit, off: true, load: loads[0].step_id };
    }
  }
  return fire;
}

function liftedAfter(plan, load) {
  const lift = plan.steps.find((step) => step.kind === "lift" && step.load === load.load);
  return lift !== undefined ? lift.end - load.end : 0;
}

export function paceSaid(plan, said) {
  let out = 1;
  for (const line of plan.lines) {
    let pace = 1;
    for (const event of said) {
      if (event.kind === "poured" && textOf(event, "line") === `${line.part}/${line.key}`) {
        const told = numberOf(event, "pace");
        pace = event.data.kept === true && told > 0 ? told : 1;
      }
    }
    out = out * pace;
  }
  return out;
}

// What the journal's `way` says when this one is taken; `asked` false = taken unasked.
export function eventData(way, asked) {
  return {
    way: way.kind,
    press: way.press_at,
    load: way.load_at,
    supper: way.supper,
    moves: way.carried.map((move) => ({ at: move.at, place: move.place })),
    proof: way.proof,
    asked,
    result: way.result,
    given_up: way.given_up,
  };
}
