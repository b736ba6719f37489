// After something was said, a second tap of the same finger says nothing: neither in the same place, nor on a button that has
// come under it meanwhile. Another button, that stood there before and still says the same, can be tapped at once. Buttons
// that rest keep their place and their focus.

import { LONGEST_MS, began, beganSince, wasPutOn } from "./finger.js";

const REST_MS = 600;
const SAME_PX = 48;

const NOWHERE = { until: 0, x: 0, y: 0, node: null };

let since = 0;
let until = 0;
let stood = new WeakMap(); // button -> where it stood before the rest began, and what it said
let clicked = 0; // when something was clicked last
let said = NOWHERE; // the button that said something last
let opened = NOWHERE; // a sheet came under the finger here
let tapped = NOWHERE; // here something was tapped that says nothing itself

const isResting = () => performance.now() < until;

// The screen is about to change; `goesOn`: it has changed by now, by what was said before.
export function rest(goesOn = false) {
  if (!isResting() && !goesOn) {
    since = performance.now();
    stood = standing();
  }
  until = performance.now() + REST_MS;
  said = goesOn || performance.now() < said.until ? { ...said, until } : NOWHERE;
  mark();
  setTimeout(mark, REST_MS + 20);
}

// What has just come up where a finger tapped (a sheet, an answer in it) is not meant by its second tap; all else in it is as
// good as what stood there before, when it was asked for.
export function restHere() {
  const by = [tapped, said].find(({ until: over }) => performance.now() < over);
  opened = { ...(by ?? NOWHERE), until: performance.now() + REST_MS };
  queueMicrotask(() => {
    stood = by ? standing() : stood; // once what came up is filled
    mark();
  });
  setTimeout(mark, REST_MS + 20);
}

const buttons = () => [...document.querySelectorAll("[data-says]")];
const wordsOf = (button) => [button.textContent, button.getAttribute("aria-label"), button.dataset.of].join("|");

// Under an open sheet nothing can be tapped.
function standing() {
  const sheet = document.querySelector("dialog[open]");
  return new WeakMap(buttons().filter((one) => !sheet || sheet.contains(one)).map((one) => [one, { box: one.getBoundingClientRect(), words: wordsOf(one) }]));
}

const within = ({ left, right, top, bottom }, x, y, by = 0) => x > left - by && x < right + by && y > top - by && y < bottom + by;
const isNear = (button, { x, y }) => within(button.getBoundingClientRect(), x, y, SAME_PX);

// Has it come, or changed its words or its place, since the rest began? With a key there is no place.
function hasCome(button, x = null, y = null) {
  const before = stood.get(button);
  return !before || before.words !== wordsOf(button) || (x !== null && !within(before.box, x, y));
}

// Buttons that were drawn anew while others rest.
export const markAgain = () => (isResting() || performance.now() < opened.until) && mark();

function mark() {
  const now = performance.now();
  for (const button of buttons()) {
    const { left, top, width, height } = button.getBoundingClientRect();
    const near = [said, opened].some((place) => now < place.until && isNear(button, place));
    if (near || (now < until && hasCome(button, left + width / 2, top + height / 2))) {
      button.setAttribute("aria-disabled", "true");
    } else {
      button.removeAttribute("aria-disabled");
    }
  }
}

// The finger, or the key, was on this very button before the rest began, and nothing was clicked since: it is meant.
function isMeant(button) {
  const at = began();
  return wasPutOn(button) && at < since && at > clicked && performance.now() - at < LONGEST_MS;
}

// Before any button hears of it: a tap counts when it began after the rest, or before it, or is meant for another button.
// Whatever a tap did, a second one on the same place is not meant for what stands there by now.
export function watchRest() {
  addEventListener("click", (event) => {
    const says = event.target.closest?.("[data-says]");
    const other = says ? null : event.target.closest?.("button, a, summary");
    const strays = says ? !isMeant(says) && (isSecond(event, opened) || isSecond(event, tapped) || isSame(event, says)) : isAstray(event, other);
    if (strays) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    clicked = performance.now();
    const here = { until: clicked + REST_MS, x: event.clientX, y: event.clientY, node: says ?? other };
    tapped = other ? here : NOWHERE;
    said = says ? here : said;
  }, { capture: true });
}

// A way to another page, which lies under a sheet that has just closed, is not meant by the second tap.
function isAstray(event, other) {
  return other?.localName === "a" && (isSecond(event, said) || (other !== tapped.node && isSecond(event, tapped)));
}

function isSame(event, button) {
  if (beganSince(until)) {
    return false;
  }
  const { detail, clientX, clientY } = event;
  return isSecond(event, said) || (detail > 0 ? hasCome(button, clientX, clientY) : button === said.node || hasCome(button));
}

// A click with no finger has no place, and its `detail` is 0.
function isSecond({ detail, clientX, clientY }, { until: over, x, y }) {
  return detail > 0 && Math.abs(clientX - x) < SAME_PX && Math.abs(clientY - y) < SAME_PX && !beganSince(over);
}
