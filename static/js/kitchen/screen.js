// The screen follows the state: drawn when something was said and each minute, and patched, never replaced. While a finger
// is down it holds still, so that what was touched is what is said.

import { wasSetRight } from "../lib/clock.js";
import { el, notice } from "../lib/dom.js";
import { isDown, watchFinger } from "../lib/finger.js";
import { patch } from "../lib/patch.js";
import { drawNow, tickNow } from "../step/step.js";
import { currentOf, pickBake } from "../state/on_the_screen.js";

export const MISSING_WORDS = "A part of this screen did not load, so the alarm or a sheet may be missing. It is asked for again and again; what you see works meanwhile.";
const STALE_S = 15;
const ARMED_AFTER_MS = 700; // a finger that is still there from the tap before says nothing

let waiting = false; // something is to be drawn once the finger is up

export function beginScreen(kitchen) {
  watchFinger(() => waiting && kitchen.look());
  for (const kind of ["pageshow", "focus"]) {
    addEventListener(kind, () => kitchen.look());
  }
  for (const kind of ["visibilitychange", "resume"]) {
    document.addEventListener(kind, () => {
      pickBake(kitchen);
      kitchen.look();
    });
  }
  setInterval(() => tick(kitchen), 1000);
}

// Everything that is seen follows from plans, events and the clock.
export function look(kitchen) {
  kitchen.lookedAt = kitchen.now();
  kitchen.bakes.get(kitchen.choice)?.work(kitchen.lookedAt, true);
  kitchen.heed();
  waiting = isDown();
  if (!waiting) {
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
  patch(document.getElementById("notes"), ...(kitchen.more?.drawNotes(kitchen) ?? [missingNote(kitchen)]));
}

// The only note that has to do without the part that draws them.
function missingNote(kitchen) {
  return kitchen.notes.missing && notice("careful", el("p", {}, MISSING_WORDS));
}

// A new step begins at its top: the button that brought it stands far below. Its own button counts a moment later.
function arm(kitchen) {
  const current = currentOf(kitchen);
  const step = current ? `${kitchen.shown} ${current.step.step_id}` : "";
  if (step === kitchen.step) {
    return;
  }
  if (kitchen.step) {
    kitchen.armedAt = performance.now() + ARMED_AFTER_MS;
    setTimeout(() => kitchen.look(), ARMED_AFTER_MS + 20);
    queueMicrotask(() => document.querySelector("[data-step], #screen > .card")?.scrollIntoView({ block: "start", behavior: "instant" }));
  }
  kitchen.step = step;
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
  if (hidden) {
    dispatchEvent(new CustomEvent("kitchen-looked"));
  } else if (stale || tickNow(kitchen)) {
    pickBake(kitchen);
    look(kitchen);
  }
  dispatchEvent(new CustomEvent("kitchen-tick"));
}
