// After something was said every button that says something rests for a moment: a second tap of the same finger, on whatever
// stands there by now, says nothing. Buttons that rest keep their place and their focus.

import { beganSince } from "./finger.js";

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
}

function mark(resting) {
  for (const node of document.querySelectorAll("[data-says]")) {
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
