// What time it is: the phone's clock, compared with the server's and never corrected behind the person's back. What is known of
// it, and what only suspected: lib/drift.js.

import { answered, begun, holds, likely, seen, wrong } from "./drift.js";

const SMALL_S = 5;
export const CLOCK_OFF_S = 120; // from then on it is told to the person, and to the server with what was tapped

const PAGE = Math.round(performance.timeOrigin); // of another page the clock that runs on says nothing
const run = () => Math.round((Date.now() - performance.now()) / 1000) - Math.round(PAGE / 1000);

let clock = begun(run());
let applied = 0; // what the person asked to add
let packed = false; // all that is known is that a bake was packed at a time still to come

export const now = () => Math.floor(Date.now() / 1000) + applied;

// The same as well as the phone knows it: only for the order in which things were said.
export const likelyNow = () => Math.floor(Date.now() / 1000 + likely(clock, run()));

// `served_at` of an answer, and when the phone asked and got it (its own seconds): half of the way is taken off.
export function compare(served_at, asked, got) {
  clock = answered(clock, run(), Math.round(served_at - (asked + got) / 2));
  packed = false;
  if (applied !== 0 && Math.abs(clock.apart - applied) > SMALL_S) {
    applied = Math.abs(clock.apart) > SMALL_S ? clock.apart : 0; // the phone was set right, or wrong anew: still by the server’s
  }
}

// The person says so.
export function isRight() {
  clock = answered(clock, run(), applied);
}

// To be asked now and then: true when what was added is not wanted any more, for the phone was set by that meanwhile.
export function wasSetRight() {
  clock = seen(clock, run());
  const right = applied !== 0 && wrong(clock, run())[2];
  applied = right ? 0 : applied;
  return right;
}

export const rawNow = () => Date.now() / 1000;

// What a server has told to be over: it packed a bake then.
export function hasBeen(instant) {
  const by = Math.round(instant - rawNow());
  if (clock.n === 0 && by > clock.apart) {
    clock = { ...clock, apart: by };
    packed = true;
  }
}

export const isAtLeast = () => packed;

// Seconds by which the clock that this screen goes by differs from the server's; is that known?
export const wrongBy = () => wrong(clock, run())[0] - applied;
export const isSure = () => wrong(clock, run())[1];

// What is written down with what is said by such a clock.
const stamp = () => `${PAGE} ${run()} ${clock.n} ${applied}`;
export const clockMarks = () => ({ clock_off_s: Math.round(wrongBy()), ...(isSure() ? {} : { clock_unsure: stamp() }) });

// What the clock was wrong by when that was said, and whether it is known by now.
export function offThen({ clock_off_s = 0, clock_unsure = "" }) {
  const [page, then, n, added] = clock_unsure.split(" ").map(Number);
  const known = page === PAGE && added === applied && holds(clock, then, n);
  return known ? [clock.apart - applied, true] : [clock_off_s, clock_unsure === ""];
}

export function goByServer(seconds = clock.apart) {
  applied = seconds;
  if (clock.n === 0 && seconds !== 0) {
    clock = { ...clock, apart: seconds }; // as it was known when that was asked for
  }
  return applied;
}

export const appliedSeconds = () => applied;
