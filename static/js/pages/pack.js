// On a bake's own page: pack it into the phone, and say "packed for the kitchen" only after reading it all back.
//
//   <div data-pack="BAKE-ID"><p data-pack-words>...</p></div>

import { SENT } from "../lib/log.js";
import { SCHEMA } from "../state/packed.js";
import { openStore } from "../lib/store.js";
import { ask } from "../lib/sync.js";
import { keepShell } from "../lib/worker.js";

const CALENDARS = "suppertide-calendars"; // answered from by the worker when the server cannot be reached
const PACKING_PATIENCE_MS = 20000;
const PACKED = "Packed for the kitchen: it works here with no connection.";
const MAY_GO = " The phone may clear it when space runs short; the server keeps a copy.";

async function packBake(id) {
  const store = await openStore();
  if (store.kind !== "kept") {
    return "This browser keeps nothing (a private window?), so the bake cannot be packed. Print the page for the fridge door.";
  }
  if (!(await shellIsKept())) {
    return isSecureContext && "serviceWorker" in navigator
      ? "The kitchen screen could not be kept in this browser. Open the kitchen once while the server can be reached."
      : "Over plain http a phone keeps no app. It needs https: a reverse proxy with a certificate, or a private network that brings certificates. Until then the kitchen works while the server answers.";
  }
  try {
    await fetchInto(store, id);
  } catch (error) {
    return error?.name === "QuotaExceededError" ? "This phone’s storage is full: free some space and load this page again." : "The server did not answer: load this page again.";
  }
  if (!(await readBack(store, id))) {
    return "The bake was not found again after packing. Load this page again, or print it.";
  }
  await keepCalendar(id);
  return PACKED;
}

async function fetchInto(store, id) {
  const bundle = await ask(`/api/bakes/${encodeURIComponent(id)}/bundle`);
  const have = await store.bundle(id);
  if (bundle.schema <= SCHEMA || !have) {
    await store.putBundle(bundle);
  }
  // What this phone has said itself and not yet sent stays unsent until the kitchen has sent it.
  const own = new Set((await store.events(id)).map((event) => event.event_id));
  await store.addEvents(bundle.events.filter((event) => !own.has(event.event_id)).map((event) => ({ ...event, sent: SENT.yes })));
}

// The bake's calendar file too. Without it the kitchen still works, so a failure here is no failure of packing.
async function keepCalendar(id) {
  const path = `/bakes/${encodeURIComponent(id)}/bake.ics`;
  try {
    const answer = await fetch(path);
    if (answer.ok) {
      await (await caches.open(CALENDARS)).put(path, answer);
    }
  } catch {
    // No server or no room just now.
  }
}

async function readBack(store, id) {
  const bundle = await store.bundle(id);
  return bundle?.plan?.bake_id === id && bundle.plan.steps.length > 0 && bundle.schema <= SCHEMA;
}

// The worker's cache holds the kitchen, every file of it: the sheets and the alarm too.
async function shellIsKept() {
  if (!isSecureContext || !("serviceWorker" in navigator)) {
    return false;
  }
  await keepShell(() => {}, () => {});
  const late = new Promise((resolve) => setTimeout(resolve, PACKING_PATIENCE_MS));
  const registration = await Promise.race([navigator.serviceWorker.ready, late]);
  const asked = new MessageChannel();
  const whole = new Promise((resolve) => (asked.port1.onmessage = ({ data }) => resolve(data === true)));
  registration?.active?.postMessage("whole", [asked.port2]);
  return (await Promise.race([whole, late])) === true;
}

// Some browsers ask the person first, who may never answer: packed is packed meanwhile.
async function askToStay(words) {
  const stays = await navigator.storage?.persist?.().catch(() => false);
  if (stays === false) {
    words.textContent = PACKED + MAY_GO;
  }
}

for (const place of document.querySelectorAll("[data-pack]")) {
  const words = place.querySelector("[data-pack-words]") ?? place.appendChild(document.createElement("p"));
  words.setAttribute("role", "status");
  packBake(place.dataset.pack).then((text) => {
    words.textContent = text;
    place.dataset.packed = String(text === PACKED);
    if (text === PACKED) {
      askToStay(words);
    }
  });
}
