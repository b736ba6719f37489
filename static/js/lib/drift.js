// How wrong the phone's clock is: values only. One rule: what a server answered holds while the phone's clock and one that only
// runs on keep together. When they have come apart, the phone slept or somebody set it, and nobody knows which: until they
// are together again, or the clock has gone by just what it was wrong, what it is wrong by is only suspected.

const SMALL_S = 5;
const ALIKE_S = 90; // who sets a clock by hand sets it to the minute

// `run`: the phone's clock minus the one that runs on. apart: server minus phone, as answered at the run of `since`, for the nth
// time. last, back: the run seen last, and was one before it higher, since then. first: the answer since which the phone only
// slept, at the run of `from`.
export const begun = (run) => ({ apart: 0, n: 0, since: run, last: run, back: false, first: 0, from: run });

export const seen = (clock, run) => ({ ...clock, last: run, back: clock.back || run < clock.last - SMALL_S });

// A server answered. As wrong as before, and never set back: then it only slept.
export function answered(clock, run, apart) {
  const { n, back, first, from } = seen(clock, run);
  const slept = n > 0 && !back && Math.abs(apart - clock.apart) <= ALIKE_S;
  return { apart, n: n + 1, since: run, last: run, back: false, ...(slept ? { first, from } : { first: n + 1, from: run }) };
}

// -> [server minus phone, is that known, and was it set by just what it was wrong]
export function wrong({ apart, since }, run) {
  const by = run - since;
  const right = Math.abs(apart - by) <= ALIKE_S;
  return Math.abs(by) <= ALIKE_S ? [apart, true, false] : [apart - by, right, right];
}

// Where in doubt: ahead a clock goes by sleeping, back only by a hand.
export const likely = (clock, run) => (wrong(clock, run)[1] || run < clock.since ? wrong(clock, run)[0] : clock.apart);

// Is it known by now how wrong the clock was at this run, after the nth answer? As `apart`, then.
export function holds(clock, run, n) {
  const at = n === clock.n ? clock.since : n === clock.first - 1 ? clock.from : run;
  return n >= clock.first - 1 && clock.n > 0 && Math.abs(run - at) <= SMALL_S;
}
