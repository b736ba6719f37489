// What rings on this phone, in words: one clear line while the page is open, the rest behind a tap.

import { button, el } from "../lib/dom.js";
import { soundState } from "../lib/ring.js";

export function drawRings(kitchen) {
  return el("div", { id: "rings", class: "stack stack--tight" }, el("details", { class: "card card--plain" }, el("summary", { "data-key": "rings" }, ringWords(kitchen.words)), el("p", {}, otherRings(kitchen.words))), askButton(kitchen));
}

function ringWords({ help }) {
  const felt = "vibrate" in navigator ? ", and shakes if it can" : "";
  return `While open, this page ${help[`sound-${soundState()}`] ?? "beeps"}${felt}.`;
}

// Browsers let a hidden page look at the clock once a minute, and phones may stop it altogether.
function otherRings({ help }) {
  const notices = "Notification" in self && Notification.permission === "granted";
  const ways = [soundState() === "on" ? "beeps" : "", notices ? "shows a notice" : ""].filter(Boolean);
  return [help["wakeLock" in navigator ? "lamp" : "no-lamp"], ways.length > 0 ? help.behind?.replace("{ways}", ways.join(" and ")) : help["behind-silent"], help.closed].join(" ");
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
