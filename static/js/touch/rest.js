// After something was said, a second tap of the same finger says nothing: neither in the same place, nor on a button that has
// come under it meanwhile. What a tap is worth: touch/burst.js. Here stands what it fell on, and which buttons show that they rest;
// those keep their place and their focus.

import { CALM, cameUp, changed, isNear, tapped } from "./burst.js";
import { LONGEST_MS, began, wasPutOn } from "./finger.js";

let hand = CALM;
let stood = new WeakMap(); // button -> where it stood before the rest began, and what it said
let clicked = 0; // when the last click had done its work
let over = 0; // a timer: then nothing rests any more

// The screen is about to change; `goesOn`: it has changed by now, by what was said before; `leads`: it becomes another one.
export function rest(goesOn = false, leads = false) {
  const now = performance.now();
  stood = goesOn || now < hand.until ? stood : standing();
  hand = changed(hand, now, goesOn, leads);
  settle();
}

// What has just come up where a finger tapped (a sheet, an answer in it) is not meant by its second tap; all else in it is as
// good as what stood there before, when it was asked for.
export function restHere() {
  const now = performance.now();
  const asked = now < hand.lasts;
  hand = cameUp(hand, now);
  queueMicrotask(() => {
    stood = asked ? standing() : stood; // once what came up is filled
    settle();
  });
}

const BUTTONS = "button, a, summary";
const says = (on) => on?.matches("[data-says]") ?? false;
// A sheet has gone: what lay under the finger there is not meant by a second tap.
export function restUnder() {
  hand = cameUp(hand, performance.now());
  settle();
}

const buttons = () => [...document.querySelectorAll("[data-says]")];
const sayingOf = (button) => [button.textContent, button.getAttribute("aria-label"), button.dataset.of].join("|");

// Under an open sheet nothing can be tapped.
function standing() {
  const sheet = document.querySelector("dialog[open]");
  return new WeakMap(buttons().filter((one) => !sheet || sheet.contains(one)).map((one) => [one, { box: one.getBoundingClientRect(), words: sayingOf(one) }]));
}

const within = ({ left, right, top, bottom }, x, y) => x > left && x < right && y > top && y < bottom;

// Has it come, or changed its words or its place, since the rest began? With a key there is no place.
function hasCome(button, x, y) {
  const before = stood.get(button);
  return !before || before.words !== sayingOf(button) || (x === x && !within(before.box, x, y));
}

const restsUntil = () => Math.max(hand.until, hand.lasts);

// Buttons that were drawn anew while others rest.
export const markAgain = () => performance.now() < restsUntil() && settle();

// Until nothing rests any more: a tap that is heard meanwhile makes it longer.
function settle() {
  const now = performance.now(); // once: marking takes a while on a slow phone
  mark(now);
  clearTimeout(over);
  const left = restsUntil() - now;
  if (left > 0) {
    over = setTimeout(settle, left + 20);
  }
}

function mark(now) {
  for (const button of document.querySelectorAll(BUTTONS)) {
    const box = button.getBoundingClientRect();
    const written = says(button);
    const come = written && hasCome(button, box.left + box.width / 2, box.top + box.height / 2);
    const same = now < hand.lasts && (button === hand.on ? written : come || hand.led) && isNear(hand, box);
    if (same || (come && now < hand.until)) {
      button.setAttribute("aria-disabled", "true");
    } else {
      button.removeAttribute("aria-disabled");
    }
  }
}

// The finger, or the key, was on this very button before the rest began, and nothing was clicked since: it is meant.
function isMeant(button, at) {
  return wasPutOn(button) && at < hand.since && at > clicked && performance.now() - at < LONGEST_MS;
}

// Before any button hears of it.
export function watchRest() {
  addEventListener("click", (event) => {
    const { target, detail, clientX, clientY } = event;
    const [x, y] = detail > 0 ? [clientX, clientY] : [NaN, NaN]; // a click with no finger has no place
    const on = target.closest?.(BUTTONS);
    const written = says(on);
    const [now, at] = [performance.now(), began()];
    // A click that no finger and no key made (a screen reader, a voice) is meant: nobody trembles there.
    const [heard, then] = at === Infinity ? [true, hand] : tapped(hand, { x, y, began: at, now, on, says: written, come: written && hasCome(on, x, y), meant: written && isMeant(on, at) });
    hand = then;
    if (!heard) {
      event.preventDefault();
      event.stopImmediatePropagation();
    }
    queueMicrotask(settle); // what rests now shows it
  }, { capture: true });
  // After everybody has heard of it: on a slow phone that takes a while, and a touch in it is one more of the same finger.
  addEventListener("click", ({ target }) => {
    clicked = target.closest?.(BUTTONS) ? performance.now() : clicked;
  });
}
