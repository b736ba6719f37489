// One future: a choice, timed and walked through. Twin of webapp/core/now/futures.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

import { goThrough, ovenLitAt, sampleAt } from "./along.js";
import { band } from "./estimate.js";
import { spoiltS } from "./fridge_clock.js";
import { AGAIN, ASK, CHANGE, NOBODY, SPOILS, WORK, missed, offBest, offPress, offSupper, relitAt, resultOf } from "./loss.js";
import { chainOf, readyIndex, supperOf } from "./marked.js";
import { asItStands, carried, freeNow, timedBy, triedBefore } from "./scene.js";
import { cooled } from "./taken.js";
import { followJournal } from "./walk.js";

const UNASKED_S = 900;
export const DAY_S = 86400;
const AGED = 1.25;

export function tried(scene, kind, choice) {
  if (kind === "as-planned" && cooled(scene.plan, scene.state, scene.now, choice.load_at) === scene.state) {
    return told(scene, kind, choice, scene.state, scene.stands.chain, scene.stands.walk, scene.stands.timed);
  }
  return walkedThrough(scene, kind, timedBy(scene, choice, kind === "as-planned"));
}

export function walkedThrough(scene, kind, { asked, state, chain, timed }) {
  const found = kind === null ? triedBefore(scene, asked) : null;
  if (found !== null) {
    return found;
  }
  const one = told(scene, kind, asked, state, chain, walkOn(scene, state, chain, ovenLitAt(scene.plan, timed)), timed);
  if (kind === null) {
    scene.tries.push({ known: asked, one });
  }
  return one;
}

function stillToCome(scene) {
  return scene.state.moves.filter((move) => move.at > scene.now);
}

export function givenUp(scene) {
  const way = scene.state.way;
  return way !== null && way.result !== "" ? AGAIN + way.given_up : 0;
}

function walkOn(scene, state, chain, lit_at) {
  const dough = { ...scene.here, state, lit_at };
  followJournal(dough);
  const walk = { now: scene.now, paths: scene.paths, samples: [], waiting: chain.map(() => null), dough, here: dough };
  walk.samples.push(sampleAt(scene.stands.walk.samples, scene.now));
  for (let i = 0; i <= scene.load; i += 1) {
    if (chain[i].end > scene.now) {
      goThrough(walk, state, chain, i);
    }
  }
  return walk;
}

function told(scene, kind, choice, state, chain, walk, timed) {
  const known = scene.stands.known;
  const load_at = chain[scene.load].start;
  const base = sampleAt(walk.samples, load_at).base;
  const [low, high] = band(scene.plan, known, base);
  const progress = base * known.factor;
  const ready_at = chain[readyIndex(chainOf(scene.plan))].start;
  const supper = supperOf(scene.plan, scene.state.wanted, ready_at);
  let ratio = progress / scene.best;
  if (ratio < AGED && isPast(scene, chain, walk, progress)) {
    ratio = AGED;
  }
  const off = offBest(ratio * scene.best, scene.best, known.sd);
  const late_s = supper - scene.state.wanted;
  const moved_s = supper - scene.state.agreed;
  const away = choice.place !== "" && !freeNow(scene);
  const asks = moved_s > UNASKED_S || moved_s < -UNASKED_S || away;
  const going = kind === "as-planned";
  const press_at = scene.press >= 0 ? chain[scene.press].start : 0;
  let work = workOf(scene, choice) * WORK + (going ? 0 : CHANGE + givenUp(scene)) + (asks ? ASK : 0);
  if (going && missed(scene.plan, timed, press_at, scene.now)[1] > 0) {
    work += NOBODY;
  }
  const out_s = spoiltS(scene.plan, timed, state, scene.now);
  work += out_s > 0 ? SPOILS : 0;
  const standing = going ? stillToCome(scene) : [];
  const way = {
    kind: kind !== null ? kind : kindOf(scene, choice, late_s),
    press_at,
    load_at,
    ready_at,
    supper,
    place: choice.place !== "" ? choice.place : scene.here.place,
    proof: choice.proof,
    moves: [...standing, ...movesOf(scene, choice, chain, walk, ovenLitAt(scene.plan, timed))],
    carried: [...standing, ...carried(scene, choice)],
    progress,
    low,
    high,
    ratio: progress / scene.best,
    result: resultOf(ratio),
    late_s,
    asks,
    out_s,
    loss: off + offSupper(late_s) + work + pressedOff(scene, chain, walk),
    relit_at: state.done.length < scene.state.done.length ? relitAt(timed) : 0,
    given_up: 0,
  };
  return { way, off, timed, met: true };
}

function pressedOff(scene, chain, walk) {
  const mark = scene.press >= 0 ? chain[scene.press].step.mark : null;
  return mark !== null ? offPress(pressedAt(scene, chain, walk), mark.best) : 0;
}

function pressedAt(scene, chain, walk) {
  const press_at = chain[scene.press].start;
  const samples = press_at > scene.now ? walk.samples : scene.stands.walk.samples;
  return sampleAt(samples, press_at).base * scene.stands.known.factor;
}

function isPast(scene, chain, walk, progress) {
  const press = scene.press >= 0 ? chain[scene.press].step.mark : null;
  return progress > chain[scene.load].step.mark.past || (press !== null && pressedAt(scene, chain, walk) > press.past);
}

function movesOf(scene, choice, chain, walk, lit_at) {
  const out = carried(scene, choice);
  if (scene.press >= 0 && choice.proof !== "") {
    out.push({ at: chain[scene.press].end, place: choice.proof });
  }
  if (lit_at > scene.now && sampleAt(walk.samples, lit_at - 1).place === "warm") {
    out.push({ at: lit_at, place: "bench" });
  }
  return out;
}

function workOf(scene, choice) {
  const out = choice.place !== "" ? 1 : 0;
  return choice.proof !== asItStands(scene).proof && choice.proof !== choice.place ? out + 1 : out;
}

function kindOf(scene, choice, late_s) {
  const proof = scene.press >= 0 ? choice.proof : "";
  if (choice.place === "bench") {
    return "bench";
  }
  if (choice.place === "fridge") {
    return scene.press >= 0 || choice.load_at >= scene.on_time + DAY_S ? "fridge" : "cold-tray";
  }
  if (proof === "fridge") {
    return "cold-tray";
  }
  if (choice.place === "warm" || proof === "warm") {
    return "warm";
  }
  return late_s === 0 ? "on-time" : late_s > 0 ? "later" : "sooner";
}
