// When a step is due: seen, heard, felt. What rings of all bakes is worked out in now/ringing.js; here it is made known.

import { button, el } from "../lib/dom.js";
import { patch } from "../lib/patch.js";
import { beep, onSound, wakeSound } from "../lib/ring.js";
import { holdLamp } from "../lib/wake.js";
import { atOnce, entryOf, hushed, rang, ringsNow } from "../now/ringing.js";
import { mayMove } from "../touch/finger.js";
import { rest } from "../touch/rest.js";
import { holdsUp } from "../state/actions.js";
import { shortNameOf } from "../step/step.js";
import { takeNoticesAway, tellOutside } from "./notices.js";
import { drawRings } from "./rings.js";

const STEP_NEAR_S = 15 * 60;
const MOST_OTHERS = 2; // the words of the step stay in sight above them

const said = { badge: -1, title: "" };
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

// A notice was tapped: its own bake comes on the screen, whichever is on.
function openBake(kitchen, bake_id) {
  if (kitchen.shown !== bake_id) {
    location.hash = bake_id;
  }
}

function heard(kitchen, channel) {
  const now = kitchen.now();
  // The tap that let the sound out may be its own answer: that is waited for.
  if (woken && mayMove() && kitchen.telling === 0) {
    woken = false;
    kitchen.rings = atOnce(kitchen.rings);
  }
  const turn = kitchen.telling > 0 ? [] : ringsNow(kitchen.rings, now);
  if (turn.length > 0) {
    const audible = beep();
    const felt = shake();
    kitchen.rings = rang(kitchen.rings, now, audible || felt);
    keep(kitchen);
    if (audible) {
      channel?.postMessage({ rings: kitchen.rings.filter(isOn) });
    }
    if (document.visibilityState !== "visible") {
      tellOutside(kitchen, turn);
    }
  }
  takeNoticesAway(kitchen);
  show(kitchen);
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
  const title = first ? `Now: ${stepOf(kitchen, first).title}` : "Kitchen · Suppertide";
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
  }
}

// While a step runs or is about to, while something is in the oven.
function lampWanted(kitchen, due) {
  const now = kitchen.now();
  const near = (bake) => bake.retimed.steps.some((timed) => timed.status === "open" && timed.start - now < STEP_NEAR_S);
  return due.length > 0 || kitchen.ringing.some((bake) => !bake.over && (bake.retimed.place === "oven" || near(bake)));
}

function stepOf(kitchen, { bake_id, step_id }) {
  return kitchen.bakes.get(bake_id).plan.steps.find((step) => step.step_id === step_id);
}

// The step on the screen says itself, what else is due of its bake stands under it; here are the others, what matters most
// first.
function drawBar(kitchen, due) {
  if (due.length === 0) {
    return null;
  }
  const [here, others] = [due.filter(isHere), due.filter((ring) => !isHere(ring))];
  const spoken = here.map((ring) => stepOf(kitchen, ring)).map((step) => `${step.title}. ${step.first ?? ""}`);
  const elsewhere = others.filter((ring) => ring.bake_id !== kitchen.shown);
  const perhaps = others.filter((ring) => ring.bake_id === kitchen.shown && isAhead(kitchen, ring));
  const rows = [...perhaps, ...elsewhere.filter((ring) => ring === elsewhere.find((one) => one.bake_id === ring.bake_id))];
  const more = rows.length - MOST_OTHERS;
  return el(
    "div",
    { class: "alarm" },
    rows.length > 0 ? el("ul", { class: "alarm__others" }, more > 0 ? el("li", { key: "more" }, `and ${more} more`) : null, rows.slice(0, MOST_OTHERS).reverse().map((ring) => row(kitchen, ring))) : null,
    el("strong", { class: rows.length > 0 ? "visually-hidden" : null }, "It is time", spoken.length > 0 ? el("span", { class: "visually-hidden" }, `: ${spoken.join(" ")}`) : null),
    button("Quiet", () => kitchen.hush(), { kind: "quiet", pic: "bell", key: "quiet" }),
  );

  function isHere(ring) {
    return `${ring.bake_id} ${ring.step_id}` === kitchen.step;
  }
}

// Its time by the plan, while something before it was never said to be done.
function isAhead(kitchen, { bake_id, step_id }) {
  return kitchen.bakes.get(bake_id).retimed.steps.some((timed) => timed.step_id === step_id && timed.start > kitchen.now());
}

// When the first of those before it was done: with that said, what stands behind it goes on.
function askBefore(kitchen) {
  const open = kitchen.bundle.plan.steps.filter((step, i) => holdsUp(step) && kitchen.retimed.steps[i].status === "open");
  const [first] = open.sort((a, b) => kitchen.dueAt(a.step_id) - kitchen.dueAt(b.step_id));
  kitchen.open("when", first);
}

// What is due of this bake stands under its step already; of another one what matters most, and the way there.
function row(kitchen, ring) {
  const step = stepOf(kitchen, ring);
  const perhaps = isAhead(kitchen, ring) ? ", if all before it is done" : "";
  const words = el("span", {}, el("strong", {}, step.title), perhaps);
  const key = `${ring.bake_id} ${ring.step_id}`;
  if (ring.bake_id === kitchen.shown) {
    return el("li", { key }, el("button", { type: "button", class: "alarm__other", "data-key": key, on: { click: () => askBefore(kitchen) } }, words));
  }
  words.append(` (${shortNameOf(kitchen, kitchen.bakes.get(ring.bake_id))})`);
  return el("li", { key }, el("button", { type: "button", class: "alarm__other", "data-key": key, on: { click: () => openBake(kitchen, ring.bake_id) } }, words));
}
