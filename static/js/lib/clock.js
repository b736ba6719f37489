// What time it is: the phone's clock, compared with the server's and never corrected behind the person's back.

const SMALL_S = 5;
const ALIKE_S = 90; // who sets a clock by hand sets it to the minute

let apart = 0; // server minus phone, seconds, as seen last
let heard = false;
let applied = 0; // what the person asked to add

export const now = () => Math.floor(Date.now() / 1000) + applied;

// The same as well as the phone knows it, by the server's clock once that was heard: only for the order in which things were
// said, and to tell how wrong a time was that was said by a wrong clock.
export const likelyNow = () => Math.floor(Date.now() / 1000) + (heard ? apart : applied);

// `served_at` of an answer, and when the phone asked and got it (its own seconds): half of the way is taken off.
export function compare(served_at, asked, got) {
  apart = Math.round(served_at - (asked + got) / 2);
  heard = true;
  ahead = [];
  if (applied !== 0 && Math.abs(apart - applied) > SMALL_S) {
    applied = Math.abs(apart) > SMALL_S ? apart : 0; // the phone was set right, or wrong anew: still by the server’s
  }
}

let between = Date.now() - performance.now(); // a clock that runs on, whatever the phone’s own is set to
let setBack = 0; // seconds, negative, by which the phone’s clock was seen to be set back

let ahead = []; // seconds of the jumps ahead since a server was heard: sleeps, or a clock set wrong

// To be asked now and then: true when the phone's clock was set meanwhile by just what it was wrong. From a jump ahead
// nothing else is read: a phone that slept jumps too. Back it jumps only when somebody sets it: by as much as it had jumped
// ahead, then that was no sleep and it is right again; else, with a server heard before, it is known how wrong it is then.
export function wasSetRight() {
  const by = Math.round((Date.now() - performance.now() - between) / 1000);
  between = Date.now() - performance.now();
  setBack = by < -SMALL_S ? by : setBack;
  const wrong = heard ? apart : applied;
  if (Math.abs(wrong) <= SMALL_S || Math.abs(by - wrong) > Math.min(ALIKE_S, Math.abs(wrong) / 2)) {
    apart -= heard && by < -SMALL_S ? by + takenBack(by) : 0;
    ahead = by > SMALL_S ? [...ahead, by] : ahead;
    return false;
  }
  ahead = [];
  apart = wrong - by; // what is left of it, to the second
  applied = 0;
  return true;
}

function takenBack(by) {
  const jump = ahead.find((one) => Math.abs(one + by) <= ALIKE_S) ?? 0;
  ahead = ahead.filter((one) => one !== jump);
  return jump;
}

// By how much what was said before was said too late; 0 when the clock was not seen to be set back.
export const wasSetBackBy = () => setBack;

export const rawNow = () => Date.now() / 1000;

let been = 0; // what a server has told to be over: it packed a bake then

export function hasBeen(instant) {
  been = Math.max(been, instant);
}

// Seconds by which the clock that this screen goes by differs from the server's; 0 while that is not known.
export const wrongBy = () => (heard ? apart - applied : 0);

// The same, or at least so much where no server was heard: before a bake was packed nothing is said of it.
export const offBy = () => (heard ? wrongBy() : Math.max(0, been - now()));

export function goByServer(seconds = apart) {
  applied = seconds;
  return applied;
}

export const appliedSeconds = () => applied;
