// What every way starts from, and choices as they are timed. Twin of webapp/core/now/scene.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { inPlanOrder } from "./along.js";
import { timeChain } from "./chain.js";
import { chainOf, kindNow, loadIndex, pressIndex } from "./marked.js";
import { stand } from "./retime.js";
import { cooled } from "./taken.js";
import { baked } from "./walk.js";

export function sceneOf(plan, state, now) {
  const stands = stand(plan, state, now);
  const chain = chainOf(plan);
  const [press, load] = [pressIndex(chain), loadIndex(chain)];
  const here = stands.walk.here;
  if (here === null || baked(here) || load < 0 || stands.chain[load].status !== "open") {
    return null;
  }
  const mark = chain[load].mark;
  if (mark === null) {
    return null;
  }
  const pressed = press < 0 || stands.chain[press].status !== "open";
  const on_time = chain[load].start + state.wanted - plan.supper;
  return { plan, state, now, stands, here, press: pressed ? -1 : press, load, on_time, best: mark.best, times: [], tries: [], paths: [] };
}

export function asItStands(scene) {
  const press_at = scene.press >= 0 ? scene.stands.chain[scene.press].start : 0;
  const way = scene.state.way;
  const load_at = scene.stands.chain[scene.load].start;
  return { place: "", press_at, proof: way !== null ? way.proof : "", load_at, out_at: 0 };
}

export function freeNow(scene) {
  return scene.state.later <= scene.now;
}

export function plannedPress(scene) {
  return scene.stands.chain[scene.press].step.start + scene.state.wanted - scene.plan.supper;
}

export function outOfTheCold(scene) {
  const cold = scene.stands.chain.some(({ status, step }) => status === "open" && (step.kind === "chill" || step.kind === "temper"));
  return cold && scene.press >= 0 && !scene.plan.dough_perishes && (scene.here.place === "bench" || freeNow(scene)) ? [{ place: "bench", press_at: plannedPress(scene), proof: "", load_at: scene.on_time, out_at: 0 }] : [];
}

export function timedBy(scene, choice, going) {
  const found = going ? null : timedBefore(scene, choice);
  if (found !== null) {
    return found;
  }
  let one = timedAs(scene, choice, going);
  if (!same(one.got, choice)) {
    one = timedAs(scene, one.got, going);
  }
  if (!going) {
    scene.times.push({ known: choice, one });
  }
  return one;
}

function timedAs(scene, asked, going) {
  const state = withChoice(scene, asked, going);
  const chain = timeChain(scene.plan, state, scene.now);
  return { asked, got: asTimed(scene, asked, chain), state, chain, timed: inPlanOrder(scene.plan, state, scene.now, chain) };
}

function asTimed(scene, choice, chain) {
  const press_at = scene.press >= 0 ? chain[scene.press].start : 0;
  return { ...choice, press_at, load_at: chain[scene.load].start };
}

function withChoice(scene, choice, going) {
  const moves = scene.state.moves.filter((move) => going || move.at <= scene.now);
  moves.push(...carried(scene, choice));
  const way = { at: scene.now, kind: kindNow(scene.state.way, choice.place), press_at: choice.press_at, load_at: choice.load_at, proof: choice.proof, result: "", given_up: 0 };
  return { ...cooled(scene.plan, scene.state, scene.now, choice.load_at), way, moves };
}

export function carried({ now, here }, choice) {
  const out = [];
  if (choice.place !== "" && choice.place !== here.place) {
    out.push({ at: now, place: choice.place });
  }
  if (choice.out_at !== 0) {
    out.push({ at: choice.out_at, place: "bench" });
  }
  return out;
}

function timedBefore(scene, choice) {
  for (const { known, one } of scene.times) {
    if (same(known, choice)) {
      return one;
    }
  }
  return null;
}

export function triedBefore(scene, choice) {
  for (const { known, one } of scene.tries) {
    if (same(known, choice)) {
      return one;
    }
  }
  return null;
}

const same = (a, b) => a.load_at === b.load_at && a.press_at === b.press_at && a.place === b.place && a.proof === b.proof && a.out_at === b.out_at;
