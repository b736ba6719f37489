// Where the fingers are: whether one is down just now, and whether a click belongs to a touch that began before a moment.
// Under a finger nothing moves: whoever wants to change the screen asks `mayMove` first.

const LONGEST_MS = 30000; // a finger whose lifting nobody told us of does not hold the screen for ever
const CLICK_MS = 60; // the click comes this long after the finger went up, at most
const SAME_MS = 400; // a click later than this after touch or key comes from something else (a screen reader)

const finger = { down: -Infinity, up: 0, key: -Infinity };
const touching = new Map(); // pointer -> since when it is down
let waits = false; // somebody would change the screen

// `onUp` is called when all fingers have gone up and their click is over, if somebody waits for that.
export function watchFinger(onUp) {
  const quiet = { capture: true, passive: true };
  const lifted = (id) => {
    if (touching.delete(id)) {
      finger.up = performance.now();
      setTimeout(() => settle(onUp), CLICK_MS + 10);
    }
  };
  addEventListener("pointerdown", ({ pointerId }) => {
    finger.down = performance.now();
    touching.set(pointerId, finger.down);
  }, quiet);
  for (const kind of ["pointerup", "pointercancel"]) {
    addEventListener(kind, ({ pointerId }) => lifted(pointerId), quiet);
  }
  // The menu of the right button swallows its lifting: the next move with no button down tells of it.
  addEventListener("pointermove", ({ pointerId, buttons }) => buttons === 0 && lifted(pointerId), quiet);
  for (const kind of ["blur", "pagehide"]) {
    addEventListener(kind, () => [...touching.keys()].forEach(lifted));
  }
  // A key that is held down clicks again and again: it counts from when it was struck.
  addEventListener("keydown", (event) => (finger.key = event.repeat ? finger.key : performance.now()), quiet);
}

function settle(onUp) {
  if (waits && !isDown()) {
    waits = false;
    onUp();
  }
}

export function isDown() {
  const now = performance.now();
  return [...touching.values()].some((since) => now - since < LONGEST_MS) || now - finger.up < CLICK_MS;
}

// May what stands on the screen change its place now? When not, it is asked for again once the finger is up.
export function mayMove() {
  const free = !isDown();
  waits ||= !free;
  return free;
}

// Did the touch, or the key, that this click comes from begin at that moment or later?
export function beganSince(moment) {
  const now = performance.now();
  const touched = finger.down > finger.up || now - finger.up < SAME_MS ? finger.down : Infinity;
  const struck = now - finger.key < SAME_MS ? finger.key : Infinity;
  return now >= moment && Math.min(touched, struck) >= moment;
}
