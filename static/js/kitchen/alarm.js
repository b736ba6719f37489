// When a step is due: seen, heard, felt. What rings of all bakes is worked out in now/ringing.js; here it is made known.
// Which of the ways this phone has is said in one line, before it matters.

import { button, el } from "../lib/dom.js";
import { patch } from "../lib/patch.js";
import { beep, onSound, soundState, wakeSound } from "../lib/ring.js";
import { holdLamp } from "../lib/wake.js";
import { hushed, rang, ringsNow } from "../now/ringing.js";
import { mayMove } from "../lib/finger.js";
import { rest } from "../lib/rest.js";
import { shortNameOf } from "../step/step.js";
import { takeNoticesAway, tellOutside } from "./notices.js";

const STEP_NEAR_S = 15 * 60;
const MOST_OTHERS = 2; // the words of the step stay in sight above them

const said = { badge: -1, title: "" };

export function beginAlarm(kitchen, channel) {
  // Sound is only let out by what a browser counts as a deed: for a finger that is its lifting, not its touching.
  for (const kind of ["click", "touchend", "pointerup", "keydown"]) {
    addEventListener(kind, wakeSound, { capture: true, passive: true });
  }
  onSound(() => kitchen.look());
  kitchen.drawRings = drawRings;
  kitchen.hush = () => hush(kitchen, channel);
  channel?.addEventListener("message", ({ data }) => data?.hushed && takeOver(kitchen, data.hushed));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data?.open && openBake(kitchen, data.open));
  addEventListener("kitchen-looked", () => heard(kitchen));
  addEventListener("kitchen-tick", () => heard(kitchen));
  kitchen.look();
}

// A notice was tapped: its own bake comes on the screen, whichever is on.
function openBake(kitchen, bake_id) {
  if (kitchen.shown !== bake_id) {
    location.hash = bake_id;
  }
}

function heard(kitchen) {
  const now = kitchen.now();
  const turn = ringsNow(kitchen.rings, now);
  if (turn.length > 0) {
    const audible = beep();
    const felt = shake();
    kitchen.rings = rang(kitchen.rings, now, audible || felt);
    keep(kitchen);
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
  rest(); // what stood under the button is not meant by a second tap
  kitchen.rings = hushed(kitchen.rings);
  keep(kitchen);
  channel?.postMessage({ hushed: kitchen.rings.filter((ring) => ring.stage === "hushed") });
  show(kitchen);
}

// With what was said to be heard elsewhere: in another window, or before the database answered.
export function withHushed(memory, quiet) {
  const isIn = (rings, ring) => rings.some((one) => one.bake_id === ring.bake_id && one.step_id === ring.step_id);
  const known = memory.map((ring) => (ring.stage === "due" && isIn(quiet, ring) ? { ...ring, stage: "hushed" } : ring));
  return [...known, ...quiet.filter((ring) => !isIn(memory, ring))];
}

// Another window of this phone was told to be quiet about these, which this one may not have looked at yet.
function takeOver(kitchen, quiet) {
  kitchen.rings = withHushed(kitchen.rings, quiet);
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

export function stepOf(kitchen, { bake_id, step_id }) {
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
    rows.length > 0 ? el("ul", { class: "alarm__others" }, more > 0 ? el("li", { key: "more" }, `and ${more} more of the bakes below`) : null, rows.slice(0, MOST_OTHERS).reverse().map((ring) => row(kitchen, ring))) : null,
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

// What is due of this bake stands under its step already; of another one what matters most, and the way there.
function row(kitchen, ring) {
  const step = stepOf(kitchen, ring);
  const perhaps = isAhead(kitchen, ring) ? ", if all before it is done" : "";
  const words = el("span", {}, el("strong", {}, step.title), perhaps);
  const key = `${ring.bake_id} ${ring.step_id}`;
  if (ring.bake_id === kitchen.shown) {
    return el("li", { key }, el("span", { class: "alarm__other" }, words));
  }
  words.append(` (${shortNameOf(kitchen, kitchen.bakes.get(ring.bake_id))})`);
  return el("li", { key }, el("button", { type: "button", class: "alarm__other", "data-key": key, on: { click: () => openBake(kitchen, ring.bake_id) } }, words));
}

// One clear line on what rings on this phone while the page is open; the rest behind a tap.
function drawRings(kitchen) {
  return el("div", { id: "rings", class: "stack stack--tight" }, el("details", { class: "card card--plain" }, el("summary", { "data-key": "rings" }, ringWords()), el("p", {}, otherRings())), askButton(kitchen));
}

const SOUND_WORDS = {
  none: "cannot beep in this browser", locked: "beeps after your first tap on it", on: "beeps",
  off: "beeps again after your next tap on it: the phone has put its sound to sleep",
};

export function ringWords() {
  const felt = "vibrate" in navigator ? ", and shakes if it can" : "";
  return `Open, this page ${SOUND_WORDS[soundState()]}${felt}.`;
}

function otherRings() {
  const lamp = "wakeLock" in navigator ? "It keeps the screen lit near a step." : "It cannot keep the screen lit: set your phone’s screen to stay on.";
  return `${lamp} ${behindWords()} Closed, only your calendar rings.`;
}

// Browsers let a hidden page look at the clock once a minute, and phones may stop it altogether.
function behindWords() {
  const notices = "Notification" in self && Notification.permission === "granted";
  const ways = [soundState() === "on" ? "beeps" : "", notices ? "shows a notice" : ""].filter(Boolean);
  return ways.length > 0 ? `Behind other pages it ${ways.join(" and ")}, up to a minute late, if the phone lets it run.` : "Behind other pages it is silent.";
}

function askButton(kitchen) {
  if (!("Notification" in self) || Notification.permission !== "default") {
    return null;
  }
  const askIt = async () => {
    await Notification.requestPermission();
    kitchen.look();
  };
  return button("Show a notice when it is behind other pages", askIt, { kind: "quiet", pic: "bell", key: "ask-notice" });
}
