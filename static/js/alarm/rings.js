// What rings on this phone, in words: one clear line while the page is open, the rest behind a tap.

import { button, el } from "../lib/dom.js";
import { soundState } from "../lib/ring.js";

export function drawRings(kitchen) {
  return el("div", { id: "rings", class: "stack stack--tight" }, el("details", { class: "card card--plain" }, el("summary", { "data-key": "rings" }, ringWords()), el("p", {}, otherRings())), askButton(kitchen));
}

const SOUND_WORDS = {
  none: "cannot beep in this browser", locked: "beeps after your first tap on it", on: "beeps",
  off: "beeps again after your next tap on it: the phone has put its sound to sleep",
};

function ringWords() {
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
