// What a tap is worth, by where and when it falls: nothing but values, so that it can be tried without a glass.
//
// A burst is a finger that hits one place again and again, never leaving the glass alone for as long as REST_MS. Only its first
// tap counts: while it lasts, nothing that came on the screen can be said by it, however often it hits. A tap in another
// place begins a burst of its own; there a button counts at once when it stood there before, saying the same. Two lines of a
// list are two things, however near: the second counts where the finger plainly went on to it.

const REST_MS = 600;
const SAME_PX = 48;
const TREMBLES_PX = 16; // so far from where it fell, and on another button that stood there, it is another tap

// x, y: where it was hit last; NaN by a key. on: what the first tap fell on. lasts: a tap that begins before then is one more
// of it. led: something came up, or went, by it. since, until: the screen changed then; what came with that rests.
export const CALM = { x: NaN, y: NaN, on: null, lasts: -Infinity, led: false, since: -Infinity, until: -Infinity };

// The screen is about to change; `goesOn`: it has changed by now, by what was said before; `leads`: it becomes another one.
export function changed(hand, now, goesOn, leads) {
  const end = now + REST_MS;
  const more = goesOn || now < hand.lasts;
  return { ...hand, lasts: more ? end : hand.lasts, led: hand.led || (more && leads), since: goesOn || now < hand.until ? hand.since : now, until: end };
}

// Something came up, or went, where the finger tapped: counted from when that can be seen.
export const cameUp = (hand, now) => (now < hand.lasts ? { ...hand, lasts: now + REST_MS, led: true } : hand);

export const isNear = ({ x, y }, { left, right, top, bottom }) => x > left - SAME_PX && x < right + SAME_PX && y > top - SAME_PX && y < bottom + SAME_PX;

// A click. x, y: its place, NaN where it has none (a key, a screen reader); began: when its finger or key went down; on: the
// button, null beside all of them; says: it is written down; come: what it says there came with the last change of the screen;
// meant: the finger was on it before that. -> [is it heard, what holds from then on].
export function tapped(hand, { x, y, began, now, on, says, come, meant }) {
  const from = Math.min(began, now);
  const within = says && on !== hand.on && !come && !hand.led ? TREMBLES_PX : SAME_PX;
  const more = from < hand.lasts && (Number.isNaN(x) ? says && on === hand.on : Math.abs(x - hand.x) < within && Math.abs(y - hand.y) < within);
  const heard = !on || meant || !(more ? says || (hand.led && on !== hand.on) : says && come && from < hand.until);
  if (on && heard) {
    return [true, { ...hand, x, y, on, lasts: now + REST_MS, led: more && hand.led }];
  }
  // Beside all buttons: one more of the same finger, or, in another place, the end of what it did before.
  return [heard, { ...hand, ...(more ? { x, y, lasts: now + REST_MS, until: from < hand.until ? now + REST_MS : hand.until } : { lasts: -Infinity }) }];
}
