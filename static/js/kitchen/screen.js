// The screen follows the state: drawn when something was said and each minute, and patched, never replaced. While a finger
// is down it holds still, so that what was touched is what is said.

import { wasSetRight } from "../lib/clock.js";
import { patch } from "../lib/patch.js";
import { mayMove, watchFinger } from "../touch/finger.js";
import { markAgain, rest, watchRest } from "../touch/rest.js";
import { drawNow, tickNow } from "../step/step.js";
import { currentOf, pickBake } from "../state/on_the_screen.js";

const STALE_S = 15;

export function beginScreen(kitchen) {
  history.scrollRestoration = "manual"; // opened again it begins with the step, however far down somebody was
  addEventListener("focus", () => kitchen.look());
  addEventListener("pageshow", ({ persisted }) => (persisted ? kitchen.reread() : kitchen.look())); // it heard nothing while it was put by
  for (const kind of ["visibilitychange", "resume"]) {
    document.addEventListener(kind, () => {
      pickBake(kitchen);
      kitchen.look();
    });
  }
  setInterval(() => tick(kitchen), 1000);
}

// From the very first step on that can be tapped.
export function beginFingers(kitchen) {
  watchFinger(() => kitchen.look());
  watchRest();
}

// Everything that is seen follows from plans, events and the clock.
export function look(kitchen) {
  kitchen.lookedAt = kitchen.now();
  kitchen.bakes.get(kitchen.choice)?.work(kitchen.lookedAt, true);
  kitchen.heed();
  if (mayMove()) {
    draw(kitchen);
  }
  dispatchEvent(new CustomEvent("kitchen-looked"));
}

function draw(kitchen) {
  if (kitchen.shown !== kitchen.choice) {
    document.querySelector("dialog.sheet")?.close(); // it spoke of the other bake
    kitchen.shown = kitchen.choice;
    document.getElementById("screen").dataset.bake = kitchen.shown;
  }
  arm(kitchen);
  patch(document.getElementById("screen"), ...drawNow(kitchen));
  markAgain();
}

// A new step begins at its top. Its own button counts a moment later: the finger on it may have meant the step before.
function arm(kitchen) {
  const current = currentOf(kitchen);
  const step = current ? `${kitchen.shown} ${current.step.step_id}` : "";
  if (step === kitchen.step) {
    return;
  }
  if (kitchen.step) {
    rest(false, true);
    queueMicrotask(() => document.querySelector("[data-step], #screen > .card")?.scrollIntoView({ block: "start", behavior: "instant" }));
  }
  kitchen.step = step;
  kitchen.bare = false;
}

// Due is worked out from stored instants, never from counted ticks, hidden or not; what is seen is looked at anew each minute and in between.
function tick(kitchen) {
  if (wasSetRight()) {
    kitchen.store.setMeta("clock", 0).catch(() => {});
    kitchen.look();
  }
  const now = kitchen.now();
  const hidden = document.visibilityState !== "visible";
  const stale = Math.floor(now / 60) !== Math.floor(kitchen.lookedAt / 60) || Math.abs(now - kitchen.lookedAt) > STALE_S;
  kitchen.heed();
  dispatchEvent(new CustomEvent("kitchen-tick")); // what rings rings, also where drawing stumbles
  if (hidden) {
    dispatchEvent(new CustomEvent("kitchen-looked"));
  } else if (stale || (mayMove() && tickNow(kitchen))) {
    pickBake(kitchen);
    look(kitchen);
  }
}
