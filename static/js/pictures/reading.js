// What the tide chart reads off a plan and where it stands. Twin of webapp/pictures/reading.py.

import { timedSteps } from "../plan/retimed.js";

export function pairsOf(plan, retimed) {
  return timedSteps(plan, retimed).filter(([, timed]) => timed.status !== "passed");
}

// When the rise begins as things stand.
export function mixedAt(plan, retimed) {
  return retimed.curve.length ? retimed.curve[0].at : plan.rise.mixed_at;
}

// The open step whose rise the person meets next.
export function waiting(plan, retimed) {
  const pairs = pairsOf(plan, retimed);
  const met = pairs.find(([s, r]) => s.mark && r.status === "open" && r.early_at)?.[1];
  if (!met) {
    return null;
  }
  const early_at = Math.max(met.early_at, ...pairs.map(([s, r]) => (s.kind === "press" && r.status === "done" ? r.end : 0)));
  return { ...met, early_at, best_at: met.best_at && Math.max(met.best_at, early_at) };
}

export const untilOf = (timed, until) => (until > timed.early_at ? until : 0);

export function timesAt(glass, progress) {
  let [times, below] = [1, 0];
  let out = 1 + progress;
  for (const mark of glass) {
    out = times + ((mark.times - times) * (progress - below)) / (mark.progress - below);
    if (progress <= mark.progress) {
      return out;
    }
    [times, below] = [mark.times, mark.progress];
  }
  return out;
}
