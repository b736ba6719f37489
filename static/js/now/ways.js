// Ways from here: a few futures, each really re-timed, best first. Twin of webapp/core/now/ways.py: change both or
// neither, by its rules; what each kind is, and why things are as they are, is said there.

import { ASIDE_PLACES } from "../plan/kinds.js";
import { DAY_S, givenUp, tried, walkedThrough } from "./futures.js";
import { NOBODY, putOff } from "./loss.js";
import { asItStands, freeNow, outOfTheCold, plannedPress, sceneOf, timedBy } from "./scene.js";

const NEAR_S = 5400;
const WORTH_S = 1800;
const FURTHEST_S = 5400;
const EVENING_S = 21600;
const TEMPER_S = 7200;
const SEEDS_S = [0, 900, -900, 1800, -1800];
const STEPS_S = [600, 300];
const RIPER_S = 900;
const RIPE = 0.95;
const MOST_WAYS = 5;
const NO_BETTER = 0.02;
const SAME_PLATE = 0.1;
const HARDLY_S = 900;
const MUCH = 1000;
const PUT_OFF = 6;
const BAD_LOSS = 0.4;

export function ways(plan, state, now) {
  const scene = sceneOf(plan, state, now);
  if (scene === null) {
    return [];
  }
  const found = [tried(scene, "as-planned", asItStands(scene))];
  for (const choice of choices(scene)) {
    putInOrder(found, atHome(scene, bestLoad(scene, choice)));
    putInOrder(found, atHome(scene, { ...choice, load_at: scene.on_time }));
  }
  const least = found[0];
  for (const proof of hasWarm(plan) && freeNow(scene) ? ["", "warm"] : [""]) {
    putInOrder(found, riper(scene, { ...asItStands(scene), proof }));
  }
  if (least.way.loss > BAD_LOSS) {
    outOfTheCold(scene).forEach((choice) => [riper, atHome].forEach((by) => putInOrder(found, by(scene, choice))));
    putInOrder(found, atHome(scene, tomorrow(scene)));
  }
  return withGivenUp(scene, thoseThatDiffer(found));
}

function withGivenUp(scene, found) {
  const before = scene.state.way !== null ? scene.state.way.given_up : 0;
  return found.map((way) => {
    let more = way.loss - found[0].loss;
    if (way.kind === "as-planned") {
      more = more > 0 ? more + givenUp(scene) : before;
    }
    return { ...way, given_up: more };
  });
}

// A plan of before does not say, and has one.
function hasWarm(plan) {
  return plan.rise.has_warm !== false;
}

function choices(scene) {
  const stay = asItStands(scene);
  const out = [stay];
  const free = freeNow(scene);
  for (const spot of hasWarm(scene.plan) && free ? ASIDE_PLACES : ["fridge"]) {
    if (scene.press < 0 || stay.press_at - scene.now >= WORTH_S) {
      out.push({ ...stay, place: spot, proof: spot === "warm" ? spot : stay.proof });
    } else if (spot === "warm") {
      out.push({ ...stay, proof: spot });
    }
    if (free && scene.press >= 0 && stay.press_at - scene.now <= NEAR_S) {
      out.push({ ...stay, press_at: scene.now, proof: spot });
    }
  }
  const mixed_at = scene.plan.rise.mixed_at + scene.state.wanted - scene.plan.supper;
  if (free && scene.press >= 0 && mixed_at - scene.now >= TEMPER_S) {
    out.push({ place: "fridge", press_at: plannedPress(scene), proof: "", load_at: scene.on_time, out_at: mixed_at });
  }
  if (free && (scene.here.place === "fridge" || scene.here.place === "warm")) {
    out.push({ ...stay, place: "bench", proof: "" });
  }
  return out.filter((choice) => choice.place !== scene.here.place);
}

function bestLoad(scene, choice) {
  let best = choice;
  let least = MUCH;
  for (const by_s of SEEDS_S) {
    const other = { ...choice, load_at: scene.on_time + by_s };
    const loss = lossWithin(scene, other);
    if (loss < least) {
      best = other;
      least = loss;
    }
  }
  for (const step_s of STEPS_S) {
    for (const by_s of [step_s, -step_s]) {
      let moved = true;
      while (moved) {
        const other = { ...best, load_at: best.load_at + by_s };
        const loss = lossWithin(scene, other);
        moved = loss < least;
        if (moved) {
          best = other;
          least = loss;
        }
      }
    }
  }
  return best;
}

function lossWithin(scene, choice) {
  if (choice.load_at < scene.now || choice.load_at > scene.on_time + FURTHEST_S) {
    return MUCH;
  }
  const { one, met } = inTime(scene, choice);
  return met ? walkedThrough(scene, null, one).way.loss : MUCH;
}

function inTime(scene, choice) {
  let one = timedBy(scene, choice, false);
  let other = putOff(scene.plan, choice, one.got, one.timed, scene.now);
  for (let i = 0; i < PUT_OFF && other !== null; i += 1) {
    one = timedBy(scene, other, false);
    other = putOff(scene.plan, other, one.got, one.timed, scene.now);
  }
  return { one, met: other === null };
}

export function atHome(scene, choice) {
  const { one, met } = inTime(scene, choice);
  const found = walkedThrough(scene, null, one);
  return { ...found, met: met && inTheEvening(scene, found.way.load_at) };
}

function inTheEvening({ on_time, now, state }, load_at) {
  return load_at <= Math.max(on_time, now, state.later) + EVENING_S || load_at >= on_time + DAY_S - EVENING_S;
}

function riper(scene, choice) {
  let load_at = scene.on_time;
  let found = atHome(scene, { ...choice, load_at });
  while (found.way.ratio < RIPE && load_at < scene.on_time + FURTHEST_S) {
    load_at += RIPER_S;
    found = atHome(scene, { ...choice, press_at: choice.press_at + (choice.place === "bench" ? load_at - scene.on_time : 0), load_at });
  }
  return found;
}

export function tomorrow(scene) {
  const stay = asItStands(scene);
  const place = scene.here.place === "fridge" ? "" : "fridge";
  const load_at = scene.on_time + DAY_S;
  if (stay.press_at === 0) {
    return { place, press_at: 0, proof: "", load_at, out_at: 0 };
  }
  const press_at = Math.min(plannedPress(scene), stay.press_at) + DAY_S;
  return { place, press_at, proof: "", load_at, out_at: scene.plan.dough_perishes ? 0 : press_at - TEMPER_S };
}

function putInOrder(found, one) {
  let i = found.length;
  while (i > 0 && one.way.loss < found[i - 1].way.loss) {
    i -= 1;
  }
  found.splice(i, 0, ...(one.met && one.way.out_s === 0 ? [one] : []));
}

function thoseThatDiffer(found) {
  const kept = [];
  const out = [];
  const going = found.filter(({ way }) => way.kind === "as-planned" && way.out_s === 0 && way.loss < NOBODY);
  for (const one of found.filter(({ way }) => way.out_s === 0 || found.length === 1)) {
    const gained = out.length === 0 || !going.some((by) => beaten(one, by));
    const timely = one.way.late_s === 0 && !out.some((way) => way.late_s === 0);
    const room = out.length < MOST_WAYS && !kept.some((by) => beaten(one, by));
    if (one.way.kind === "as-planned" || (gained && (timely || room))) {
      kept.push(one);
      out.push(one.way);
    }
  }
  return out;
}

function beaten(one, by) {
  const apart_s = one.way.supper - by.way.supper;
  if (one.way.kind === by.way.kind && Math.abs(apart_s) < HARDLY_S) {
    return true;
  }
  const unseen = one.way.result === by.way.result && Math.abs(apart_s) < FURTHEST_S ? SAME_PLATE : NO_BETTER;
  return by.off <= one.off + unseen && awayS(by.way) <= awayS(one.way);
}

const awayS = ({ late_s }) => Math.abs(late_s);
