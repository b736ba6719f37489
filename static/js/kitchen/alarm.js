// When a step is due: seen, heard, felt. Which of these this phone can do is said in one line, before it matters.

import { button, el, notice, redraw } from "../lib/dom.js";
import { beep, canHear, unlockSound } from "../lib/ring.js";
import { holdLamp } from "../lib/wake.js";
import { currentOf, isDue } from "../step/step.js";

const RING_EVERY_S = 30;
const RINGS = 10;
const SOON_S = 15 * 60;

const alarm = { step: "", rung: 0, lastAt: 0, quiet: false, told: false };

export function beginAlarm(kitchen) {
  const gesture = async () => {
    await unlockSound();
    draw(kitchen);
  };
  addEventListener("pointerdown", gesture, { once: true });
  addEventListener("keydown", gesture, { once: true });
  addEventListener("kitchen-looked", () => check(kitchen));
  addEventListener("kitchen-tick", () => check(kitchen));
  document.addEventListener("visibilitychange", () => check(kitchen));
  check(kitchen);
  draw(kitchen);
}

function check(kitchen) {
  const current = currentOf(kitchen);
  const due = current !== null && isDue(kitchen, current);
  const key = due ? `${kitchen.bundle.plan.bake_id} ${current.step.step_id}` : "";
  if (key !== alarm.step) {
    Object.assign(alarm, { step: key, rung: 0, lastAt: 0, quiet: false, told: false });
    draw(kitchen);
  }
  document.title = due ? `Now: ${current.step.title}` : "Kitchen · Suppertide";
  badge(due);
  holdLamp(lampWanted(kitchen, current, due));
  if (due && !alarm.quiet && alarm.rung < RINGS && kitchen.now() - alarm.lastAt >= RING_EVERY_S) {
    alarm.lastAt = kitchen.now();
    alarm.rung += 1;
    ring(kitchen, current);
  }
}

// While a step runs or is about to, while something is in the oven.
function lampWanted(kitchen, current, due) {
  if (current === null) {
    return false;
  }
  return due || kitchen.retimed.place === "oven" || current.timed.start - kitchen.now() < SOON_S;
}

function ring(kitchen, { step }) {
  beep();
  if (navigator.userActivation?.hasBeenActive ?? true) {
    navigator.vibrate?.([400, 150, 400, 150, 700]);
  }
  if (document.visibilityState !== "visible" && !alarm.told && "Notification" in self && Notification.permission === "granted") {
    alarm.told = true;
    tellOutside(kitchen, step);
  }
}

async function tellOutside(kitchen, step) {
  const about = { body: step.title, tag: "due", icon: "/static/icons/mark-192.png", data: kitchen.bundle.plan.bake_id };
  const registration = await navigator.serviceWorker?.getRegistration();
  await registration?.showNotification("Now", about).catch(() => {});
}

function badge(due) {
  (due ? navigator.setAppBadge?.(1) : navigator.clearAppBadge?.())?.catch(() => {});
}

function draw(kitchen) {
  const place = document.getElementById("alarm");
  const due = Boolean(alarm.step);
  const hush = () => {
    alarm.quiet = true;
    draw(kitchen);
  };
  redraw(
    place,
    due && !alarm.quiet
      ? el("div", { class: "alarm" }, el("strong", {}, "It is time"), button("Quiet", hush, { kind: "quiet", pic: "bell", key: "quiet" }))
      : null,
  );
  kitchen.ringLine = el("div", { class: "stack stack--tight" }, notice("", el("p", {}, ringWords())), askButton(kitchen));
  const old = document.getElementById("rings");
  old?.replaceChildren(kitchen.ringLine);
}

// One clear line on what will and will not ring on this phone.
export function ringWords() {
  const sound = canHear() ? "beeps" : "beeps after your first tap on it";
  const felt = "vibrate" in navigator ? ", and the phone shakes where it can" : "";
  const lamp = "wakeLock" in navigator ? "keeps the screen lit near a step" : "cannot keep the screen lit: set your phone’s screen to stay on";
  const notices = "Notification" in self && Notification.permission === "granted";
  const behind = notices ? "Behind other pages it shows a notice, if the phone lets it run." : "Behind other pages it is silent.";
  return `While it is open this page ${sound}${felt}, and ${lamp}. ${behind} Closed, only your calendar rings.`;
}

function askButton(kitchen) {
  if (!("Notification" in self) || Notification.permission !== "default") {
    return null;
  }
  const askIt = async () => {
    await Notification.requestPermission();
    draw(kitchen);
  };
  return button("Show a notice when it is behind other pages", askIt, { kind: "quiet", pic: "bell", key: "ask-notice" });
}
