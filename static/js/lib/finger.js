// Where the fingers are: whether one is down just now, and whether a click belongs to a touch that began before a moment.
// Under a finger nothing moves: whoever wants to change the screen asks `mayMove` first.
//
// After something was said every button that says something rests for a moment: a second tap of the same finger, on whatever
// stands there by now, says nothing. Buttons that rest keep their place and their focus.

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

// -- rest

const REST_MS = 600;
const SAME_PX = 48;

let until = 0;
let opened = { until: 0, x: 0, y: 0 }; // a sheet came under the finger here
let tapped = { x: 0, y: 0 };

export const isResting = () => performance.now() < until;

export function rest() {
  until = performance.now() + REST_MS;
  mark(true);
  setTimeout(() => isResting() || mark(false), REST_MS + 20);
}

// What has just come up where a finger tapped (a sheet, an answer in it) is not meant by its second tap.
export function restHere() {
  opened = { until: performance.now() + REST_MS, ...tapped };
  queueMicrotask(() => mark(true, isNear)); // once what came up is filled
  setTimeout(() => isResting() || performance.now() < opened.until || mark(false), REST_MS + 20);
}

function isNear(node) {
  const { left, right, top, bottom } = node.getBoundingClientRect();
  const { x, y } = opened;
  return x > left - SAME_PX && x < right + SAME_PX && y > top - SAME_PX && y < bottom + SAME_PX;
}

function mark(resting, which = () => true) {
  for (const node of [...document.querySelectorAll("[data-says]")].filter(which)) {
    if (resting) {
      node.setAttribute("aria-disabled", "true");
    } else {
      node.removeAttribute("aria-disabled");
    }
  }
}

// Before any button hears of it: a tap counts when it began after the rest.
export function watchRest() {
  addEventListener("click", (event) => {
    const { clientX: x, clientY: y } = event; // a click with no finger has no place, and its `detail` is 0
    const second = event.detail > 0 && Math.abs(x - opened.x) < SAME_PX && Math.abs(y - opened.y) < SAME_PX && !beganSince(opened.until);
    if (event.target.closest?.("[data-says]") && (second || !beganSince(until))) {
      event.preventDefault();
      event.stopImmediatePropagation();
    }
    tapped = { x, y };
  }, { capture: true });
}
