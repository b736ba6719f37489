// What rings on this phone, in words: one clear line while the page is open, the rest behind a tap.

import { button, el } from "../lib/dom.js";
import { soundState } from "../lib/beep.js";

export function drawRings(kitchen) {
  return el("div", { id: "rings", class: "stack stack--tight" }, el("details", { class: "card card--plain" }, el("summary", { "data-key": "rings" }, ringWords(kitchen)), el("p", {}, otherRings(kitchen))), askButton(kitchen));
}

function ringWords(kitchen) {
  const sound = kitchen.words.help[`sound-${soundState()}`] ?? "";
  const shakes = Boolean(navigator.vibrate);
  return kitchen.phrase(shakes ? "open it beeps and shakes" : "open it beeps", { sound });
}

// Browsers let a hidden page look at the clock once a minute, and phones may stop it altogether.
function otherRings(kitchen) {
  const { help } = kitchen.words;
  const notices = "Notification" in self && Notification.permission === "granted";
  const sound = soundState() === "on";
  const ways = notices ? kitchen.phrase(sound ? "beeps and shows a notice" : "shows a notice") : sound && help["sound-on"];
  return [help["wakeLock" in navigator ? "lamp" : "no-lamp"], ways ? help.behind?.replace("{ways}", ways) : help["behind-silent"], help.closed].join(" ");
}

function askButton(kitchen) {
  if (!("Notification" in self) || Notification.permission !== "default") {
    return null;
  }
  const askIt = async () => {
    await Notification.requestPermission();
    kitchen.look();
  };
  return button(kitchen.phrase("show a notice as well"), askIt, { kind: "quiet", pic: "bell", key: "ask-notice" });
}
