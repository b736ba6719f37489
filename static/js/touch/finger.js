// Where the fingers are: whether one is down just now, and whether a click belongs to a touch that began before a moment.
// Under a finger nothing moves: whoever wants to change the screen asks `mayMove` first.
// What a second tap of the same finger may not say: touch/rest.js.

export const LONGEST_MS = 30000; // a finger whose lifting nobody told us of does not hold the screen for ever
const CLICK_MS = 700; // so long after its lifting a click is waited for: what the lifting wakes (sound) may hold it up
const SAME_MS = 400; // a click later than this after touch or key comes from something else (a screen reader)
const KEYBOARD = "key"; // the space bar on a button is a finger, too: its click comes when it is let go
const PRESSED = "button, summary, input[type=checkbox], input[type=radio]";

const finger = { down: -Infinity, up: -Infinity, key: -Infinity, keyLast: -Infinity, on: null, last: null };
const touching = new Map(); // pointer -> since when it is down
let waits = false; // somebody would change the screen
let owed = 0; // a timer, while the click of a finger that went up is still to come

// `onUp` is called when all fingers have gone up and their click was handled, if somebody waits for that.
export function watchFinger(onUp) {
  const quiet = { capture: true, passive: true };
  const settleIn = (pause) => {
    clearTimeout(owed);
    owed = setTimeout(() => {
      owed = 0;
      settle(onUp);
    }, pause);
  };
  const lifted = (id, pause) => {
    if (touching.delete(id)) {
      finger.last = id;
      finger.up = id === KEYBOARD ? finger.up : performance.now();
      settleIn(pause);
    }
  };
  addEventListener("pointerdown", ({ pointerId, target, timeStamp }) => {
    finger.down = Math.min(timeStamp, performance.now()); // when it touched the glass, however busy the page was
    finger.on = target.closest?.("[data-says]") ?? null;
    touching.set(pointerId, finger.down);
  }, quiet);
  addEventListener("pointerup", ({ pointerId }) => lifted(pointerId, CLICK_MS), quiet);
  addEventListener("touchend", () => owed && settleIn(CLICK_MS), quiet); // counted from the last that comes before the click
  addEventListener("click", () => owed && settleIn(0), quiet); // after everybody has heard of it
  addEventListener("pointercancel", ({ pointerId }) => lifted(pointerId, 0), quiet); // it scrolled: no click comes
  // The menu of the right button swallows its lifting: the next move with no button down tells of it.
  addEventListener("pointermove", ({ pointerId, buttons }) => buttons === 0 && lifted(pointerId, 0), quiet);
  for (const kind of ["blur", "pagehide"]) {
    addEventListener(kind, ({ target }) => target === window && [...touching.keys()].forEach((id) => lifted(id, 0)));
  }
  watchKeys(lifted, quiet);
}

// A key that is held down clicks again and again: it counts from when it was struck.
function watchKeys(lifted, quiet) {
  addEventListener("keydown", ({ key, repeat, target }) => {
    finger.keyLast = performance.now(); // heard of last
    finger.key = repeat ? finger.key : finger.keyLast;
    if (key === " " && !repeat && target.closest?.(PRESSED)) {
      finger.on = target.closest("[data-says]");
      touching.set(KEYBOARD, finger.key);
    }
  }, quiet);
  addEventListener("keyup", ({ key }) => {
    if (key === " ") {
      finger.keyLast = performance.now();
      lifted(KEYBOARD, CLICK_MS);
    }
  }, quiet);
}

function settle(onUp) {
  if (waits && !isDown()) {
    waits = false;
    onUp();
  }
}

function isDown() {
  const now = performance.now();
  return owed !== 0 || [...touching.values()].some((since) => now - since < LONGEST_MS);
}

// May what stands on the screen change its place now? When not, it is asked for again once the finger is up.
export function mayMove() {
  const free = !isDown();
  waits ||= !free;
  return free;
}

// When the touch, or the key, began that the click of this moment comes from; Infinity when it comes from neither.
export function began() {
  const now = performance.now();
  const touched = finger.down > finger.up || (owed !== 0 && finger.last !== KEYBOARD) || now - finger.up < SAME_MS ? finger.down : Infinity;
  const struck = touching.has(KEYBOARD) || now - Math.max(finger.key, finger.keyLast) < SAME_MS ? finger.key : Infinity;
  return Math.min(touched, struck);
}

// Is this the button that the last finger, or key, was put on?
export const wasPutOn = (button) => finger.on === button;
