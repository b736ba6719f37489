// The page of reminders: messages to this browser on and off, test rings, copying the feed's address.

import { beep, unlockSound } from "../lib/beep.js";

const $ = (name) => document.querySelector(`[data-${name}]`);
const TEST_S = 60;

const words = {
  insecure: "This browser takes messages over https only. The calendar works over http too.",
  unable: "This browser cannot take messages. On an iPhone or iPad, add the app to the home screen first.",
  denied: "Messages from here are blocked in this browser’s settings. Allow notifications for this address, then reload.",
  off: "Off on this browser.",
  on: "On: this browser gets a message at each alarm.",
  failed: "That did not work: the push service or our server does not answer. Try again in a while.",
};

async function begin() {
  unfold();
  addEventListener("hashchange", unfold);
  copying();
  beeping();
  if ($("push-state")) {
    await pushing();
  }
}

// A link to what is folded up opens it, in browsers too that do not do so by themselves.
function unfold() {
  const wanted = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
  for (let around = wanted && wanted.closest("details"); around; around = around.parentElement.closest("details")) {
    around.open = true;
  }
  if (wanted) {
    wanted.scrollIntoView();
  }
}

// -- messages

async function pushing() {
  if (!("serviceWorker" in navigator) || !("PushManager" in window) || !("Notification" in window)) {
    say(isSecureContext ? words.unable : words.insecure);
    return;
  }
  $("push-on").addEventListener("click", () => attempt(turnOn));
  $("push-off").addEventListener("click", () => attempt(turnOff));
  $("push-test").addEventListener("click", () => attempt(test));
  await attempt(show);
}

async function attempt(action) {
  try {
    await action();
  } catch (error) {
    say(error.message && error.forPeople ? error.message : words.failed);
  }
}

async function show() {
  const subscription = await present();
  const known = subscription !== null && (await ask("GET", "")).here;
  const denied = Notification.permission === "denied";
  say(denied ? words.denied : known ? words.on : words.off);
  $("push-on").hidden = denied || known;
  $("push-off").hidden = $("push-test").hidden = !known;
}

async function present() {
  const registration = await navigator.serviceWorker.getRegistration("/");
  return (await registration?.pushManager.getSubscription()) ?? null;
}

async function turnOn() {
  if ((await Notification.requestPermission()) !== "granted") {
    await show();
    return;
  }
  await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  const registration = await navigator.serviceWorker.ready;
  const { key } = await ask("GET", "");
  const old = await registration.pushManager.getSubscription();
  if (old && !sameKey(old.options.applicationServerKey, key)) {
    await old.unsubscribe(); // made for another server's key: nothing of ours would reach it
  }
  const subscription = await registration.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytes(key) });
  await ask("POST", "", subscription.toJSON());
  await show();
}

async function turnOff() {
  const subscription = await present();
  if (subscription) {
    await ask("POST", "/off", { endpoint: subscription.endpoint });
    await subscription.unsubscribe();
  }
  await show();
}

async function test() {
  await ask("POST", "/test", {});
  say("Sent in one minute. Close this page, lock the phone, and wait.");
}

async function ask(method, path, body) {
  const headers = body ? { "Content-Type": "application/json" } : {};
  const answer = await fetch(`/api/push${path}`, { method, headers, body: body && JSON.stringify(body) });
  const said = await answer.json();
  if (!answer.ok) {
    throw Object.assign(new Error(`${said.error.message} ${said.error.way_out}`), { forPeople: true });
  }
  return said;
}

const say = (text) => ($("push-state").textContent = text);

function bytes(base64url) {
  const text = atob(base64url.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

function sameKey(buffer, base64url) {
  const held = new Uint8Array(buffer ?? []);
  const wanted = bytes(base64url);
  return held.length === wanted.length && held.every((value, place) => value === wanted[place]);
}

// -- the open page

function beeping() {
  const press = $("beep");
  press.hidden = false;
  press.addEventListener("click", async () => {
    await unlockSound();
    const until = Date.now() + TEST_S * 1000;
    press.disabled = true;
    const tick = setInterval(() => {
      const left = Math.ceil((until - Date.now()) / 1000);
      $("beep-state").textContent = left > 0 ? `Beeps in ${left} s. Leave this page open and lit.` : "That was it. Did you hear it?";
      if (left <= 0) {
        clearInterval(tick);
        press.disabled = false;
        beep();
      }
    }, 250);
  });
}

// -- the feed

function copying() {
  const press = $("copy");
  if (!press || !navigator.clipboard) {
    return;
  }
  press.hidden = false;
  press.addEventListener("click", async () => {
    await navigator.clipboard.writeText($("copy-from").value);
    $("copied").textContent = "Copied. Add it in your calendar as a subscription.";
  });
}

begin();
