// Where the finger is: whether one is down just now, and whether a click belongs to a touch that began before a moment.

const REST_MS = 4000; // a finger that rests so long is not tapping
const CLICK_MS = 60; // the click comes this long after the finger went up, at most
const SAME_MS = 400; // a click later than this after touch or key comes from something else (a screen reader)

const finger = { down: -Infinity, up: 0, key: -Infinity };

// `onUp` is called when a finger has gone up and its click is over.
export function watchFinger(onUp) {
  const quiet = { capture: true, passive: true };
  addEventListener("pointerdown", () => (finger.down = performance.now()), quiet);
  for (const kind of ["pointerup", "pointercancel"]) {
    addEventListener(kind, () => {
      finger.up = performance.now();
      setTimeout(onUp, CLICK_MS + 10);
    }, quiet);
  }
  // A key that is held down clicks again and again: it counts from when it was struck.
  addEventListener("keydown", (event) => (finger.key = event.repeat ? finger.key : performance.now()), quiet);
}

export function isDown() {
  const now = performance.now();
  return finger.down > finger.up ? now - finger.down < REST_MS : now - finger.up < CLICK_MS;
}

// Did the touch, or the key, that this click comes from begin at that moment or later?
export function beganSince(moment) {
  const now = performance.now();
  const touched = finger.down > finger.up || now - finger.up < SAME_MS ? finger.down : Infinity;
  const struck = now - finger.key < SAME_MS ? finger.key : Infinity;
  return now >= moment && Math.min(touched, struck) >= moment;
}
