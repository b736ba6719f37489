// When a step is due: seen, heard, felt. What rings of all bakes is worked out in now/ringing.js; here it is made known.

import { patch } from "../lib/patch.js";
import { beep, onSound, soundState, wakeSound } from "../lib/beep.js";
import { inTime } from "../lib/store.js";
import { holdLamp } from "../lib/wake.js";
import { atOnce, entryOf, hushed, rang, ringsNow } from "../now/ringing.js";
import { mayMove } from "../touch/finger.js";
import { rest } from "../touch/rest.js";
import { drawBar, openBake, stepOf } from "./bar.js";
import { takeNoticesAway, tellOutside } from "./notices.js";
import { drawRings } from "./rings.js";

const STEP_NEAR_S = 15 * 60;

const UNSAID = document.title; // while nothing is due
const said = { badge: -1, title: UNSAID, room: 0 };
let woken = false; // the sound has come, and what is due was not heard yet

export function beginAlarm(kitchen, channel) {
  // Sound is only let out by what a browser counts as a deed: for a finger that is its lifting, not its touching.
  for (const kind of ["click", "touchend", "pointerup", "keydown"]) {
    addEventListener(kind, wakeSound, { capture: true, passive: true });
  }
  onSound((state) => {
    woken = state === "on";
    kitchen.look();
  });
  kitchen.drawRings = drawRings;
  kitchen.hush = () => hush(kitchen, channel);
  channel?.addEventListener("message", ({ data }) => data?.rings && takeOver(kitchen, data.rings));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data?.open && openBake(kitchen, data.open));
  addEventListener("kitchen-looked", () => heard(kitchen, channel));
  addEventListener("kitchen-tick", () => heard(kitchen, channel));
  kitchen.look();
}

function heard(kitchen, channel) {
  // The tap that let the sound out may be its own answer: that is waited for.
  if (woken && mayMove() && kitchen.telling === 0) {
    woken = false;
    kitchen.rings = atOnce(kitchen.rings);
  }
  if (turnOf(kitchen).length > 0 && !asking) {
    ring(kitchen, channel);
  }
  takeNoticesAway(kitchen);
  show(kitchen);
}

const turnOf = (kitchen) => (kitchen.telling > 0 ? [] : ringsNow(kitchen.rings, kitchen.now()));

let asking = false; // the database, what was heard

// Of two windows that can be heard one rings: the database takes one after the other, and knows what was heard on this phone. One
// that does not answer mutes nothing; what nobody heard is not kept.
async function ring(kitchen, channel) {
  if (soundState() !== "on") {
    makeKnown(kitchen);
    return;
  }
  asking = true;
  const unlessHeard = (kept = []) => {
    kitchen.rings = kitchen.rings.map((one) => ({ ...one, rung_at: Math.max(one.rung_at, entryOf(kept, one.bake_id, one.step_id)?.rung_at ?? 0) }));
    makeKnown(kitchen, channel);
    return kitchen.rings.filter(isOn);
  };
  await inTime(kitchen.store.changeMeta("rings", unlessHeard)).catch(() => unlessHeard());
  asking = false;
  show(kitchen);
}

function makeKnown(kitchen, channel) {
  const turn = turnOf(kitchen);
  if (turn.length > 0) {
    const audible = beep();
    const felt = shake();
    kitchen.rings = rang(kitchen.rings, kitchen.now(), audible || felt);
    if (audible) {
      channel?.postMessage({ rings: kitchen.rings.filter(isOn) });
    }
    if (document.visibilityState !== "visible") {
      tellOutside(kitchen, turn);
    }
  }
}

const shake = () => (navigator.userActivation?.hasBeenActive ?? true) && (navigator.vibrate?.([400, 150, 400, 150, 700]) ?? false);

function keep(kitchen) {
  kitchen.store.setMeta("rings", kitchen.rings.filter(isOn)).catch(() => {});
}

const isOn = (ring) => ring.stage === "due" || ring.stage === "hushed";

function hush(kitchen, channel) {
  rest(false, true); // what stood under the button is not meant by a second tap
  kitchen.rings = hushed(kitchen.rings);
  keep(kitchen);
  channel?.postMessage({ rings: kitchen.rings.filter(isOn) });
  show(kitchen);
}

// With what rang or was said to be heard elsewhere: in another window, or before the database answered.
export function withRings(memory, others) {
  const known = memory.map((ring) => {
    const other = entryOf(others, ring.bake_id, ring.step_id);
    return other && other.rank === ring.rank && ring.stage === "due" ? { ...ring, stage: other.stage, rung: Math.max(ring.rung, other.rung), rung_at: Math.max(ring.rung_at, other.rung_at) } : ring;
  });
  return [...known, ...others.filter((ring) => !entryOf(memory, ring.bake_id, ring.step_id))];
}

// Another window of this phone rang, or was told to be quiet, of these, which this one may not have looked at yet.
function takeOver(kitchen, rings) {
  kitchen.rings = withRings(kitchen.rings, rings);
  show(kitchen);
}

function show(kitchen) {
  const due = kitchen.rings.filter((ring) => isOn(ring) && kitchen.bakes.has(ring.bake_id)); // read, so far
  const [first] = due;
  const title = first ? `${kitchen.phrase("now")}: ${stepOf(kitchen, first).title}` : UNSAID;
  if (title !== said.title) {
    said.title = title;
    document.title = title;
  }
  if (due.length !== said.badge) {
    said.badge = due.length;
    (due.length > 0 ? navigator.setAppBadge?.(due.length) : navigator.clearAppBadge?.())?.catch(() => {});
  }
  holdLamp(lampWanted(kitchen, due));
  const place = document.getElementById("alarm");
  if (place && mayMove()) {
    patch(place, drawBar(kitchen, due.filter((ring) => ring.stage === "due")));
    keepRoom(place.offsetHeight + (document.querySelector(".carry--now")?.offsetHeight ?? 0));
  }
}

// At the end of the page, for all that stands there to be seen over the bar. What was given stays: nothing moves when it goes.
function keepRoom(height) {
  if (height > said.room) {
    said.room = height;
    document.documentElement.style.setProperty("--alarm", `${height}px`);
  }
}

// While a step runs or is about to, while something is in the oven.
function lampWanted(kitchen, due) {
  const now = kitchen.now();
  const near = (bake) => bake.retimed.steps.some((timed) => timed.status === "open" && timed.start - now < STEP_NEAR_S);
  return due.length > 0 || kitchen.ringing.some((bake) => !bake.over && (bake.retimed.place === "oven" || near(bake)));
}
