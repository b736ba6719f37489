// What makes one way from here better than another. Twin of webapp/core/now/loss.py: change both or neither.
//
// Twin rules: + - * / and comparison only. What each row means is said in the Python twin.

import { ln, root } from "./ln_exp.js";

const YOUNG = 1;
const PAST = 1.3;
const PRESS = 0.1;
const LATE = 0.0005;
const LATER = 0.03;
const EARLY = 0.0005;
const SOONER = 0.02;
export const WORK = 0.015;
export const ASK = 0.004;
export const CHANGE = 0.02;
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
    return minutes <= GIVE_MIN ? minutes * LATE : GIVE_MIN * LATE + (minutes - GIVE_MIN) * LATER;
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
