// What makes one way from here better than another. Twin of webapp/core/now/loss.py: change both or neither.
//
// Twin rules: + - * / and comparison only. What each row means is said in the Python twin.

import { ln, root } from "./ln_exp.js";
import { waitedFor } from "./marked.js";

const YOUNG = 1;
const PAST = 1.3;
const PRESS = 0.1;
const LATE = 0.0005;
const LATER = 0.03;
const NEXT_DAY = 15;
const EARLY = 0.0005;
const SOONER = 0.02;
export const WORK = 0.015;
export const ASK = 0.004;
export const CHANGE = 0.02;
export const NOBODY = 9;
export const SPOILS = 20;
export const AGAIN = 0.03;

const TWO_OVER_PI = 0.6366197723675814;
const GIVE_MIN = 30;

export function offBest(progress, best, sd) {
  if (progress <= 0 || best <= 0) {
    return 9;
  }
  const off = ln(progress / best);
  return ((PAST + YOUNG) / 2) * root(off * off + TWO_OVER_PI * sd * sd) + ((PAST - YOUNG) / 2) * off;
}

export function offPress(progress, best) {
  if (progress <= 0 || best <= 0) {
    return 9;
  }
  const off = ln(progress / best);
  return off > 0 ? off * PRESS : -off * PRESS;
}

export function offSupper(late_s) {
  const minutes = late_s / 60;
  if (minutes >= 0) {
    return minutes <= GIVE_MIN ? minutes * LATE : Math.min(GIVE_MIN * LATE + (minutes - GIVE_MIN) * LATER, NEXT_DAY);
  }
  return -minutes <= GIVE_MIN ? -minutes * EARLY : GIVE_MIN * EARLY + (-minutes - GIVE_MIN) * SOONER;
}

export function resultOf(ratio) {
  if (ratio < 0.7) {
    return "young";
  }
  if (ratio < 0.85) {
    return "bit-young";
  }
  if (ratio <= 1.2) {
    return "best";
  }
  return ratio <= 1.4 ? "bit-past" : "past";
}

function freeFrom(plan, start, end, hands) {
  let out = start;
  for (const span of plan.nobody ?? plan.busy) {
    const meets = (span.start <= out || span.start < out + end - start) && out < span.end;
    if (meets && (hands || span.kind !== "busy")) {
      out = span.end;
    }
  }
  return out;
}

function ovenOff(timed) {
  let out = 0;
  for (const one of timed) {
    if (one.step.kind === "lift") {
      out = one.end;
    }
  }
  return out;
}

export function relitAt(timed) {
  for (const one of timed) {
    if (one.step.kind === "preheat" && one.status === "open") {
      return one.start;
    }
  }
  return 0;
}

export function missed(plan, timed, press_at, now) {
  for (const one of timed) {
    if (one.status === "open" && waitedFor(one.step) && one.start >= press_at && one.start > now) {
      const end = one.step.kind === "preheat" ? ovenOff(timed) : one.end;
      const hands = one.step.presence === "hands" && one.step.kind !== "serve";
      const by_s = freeFrom(plan, one.start, end, hands) - one.start;
      if (by_s > 0) {
        return [one.start, by_s];
      }
    }
  }
  return [0, 0];
}

export function putOff(plan, choice, got, timed, now) {
  const [due, by_s] = missed(plan, timed, got.press_at, now);
  const pressing = due === got.press_at && by_s > 0;
  const press_at = pressing ? got.press_at + by_s : got.press_at;
  const load_at = pressing ? got.load_at : got.load_at + by_s;
  const out_at = freeFrom(plan, choice.out_at, choice.out_at, true);
  if (by_s === 0 && out_at === choice.out_at) {
    return null;
  }
  return { ...choice, press_at, load_at, out_at: out_at < press_at ? out_at : 0 };
}
