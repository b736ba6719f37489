// On a bake's own page: pack it into the phone, and say "packed for the kitchen" only after reading it all back.
//
//   <div data-pack="BAKE-ID"><p data-pack-words>...</p></div>

import { SENT } from "../lib/log.js";
import { SCHEMA } from "../state/packed.js";
import { openStore } from "../lib/store.js";
import { ask } from "../lib/sync.js";
import { keepShell } from "../lib/worker.js";

const CALENDARS = "suppertide-calendars"; // answered from by the worker when the server cannot be reached
const PACKED = "Packed for the kitchen: works offline.";

// `kept`: whether the kitchen's page is in this phone, as lib/worker.js tells it.
async function packBake(id, kept) {
  const store = await openStore({ first: id });
  if (store.kind !== "kept") {
    return "This browser keeps nothing (a private window?), so the bake cannot be packed. Print the page for the fridge door.";
  }
  if (kept === null) {
    return isSecureContext
      ? "Is this a private window? There the kitchen needs the server."
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
  store.close();
  await keepCalendar(id);
  return kept ? PACKED : "The bake is in this phone, the kitchen’s page not yet: without the server it does not open. That is tried again while this page is open.";
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

// Some browsers ask the person first, who may never answer: packed is packed meanwhile. That a phone may clear it is
// said in the fold about keeping, where it pushes nothing.
async function askToStay() {
  const stays = await navigator.storage?.persist?.().catch(() => false);
  const said = document.querySelector("[data-pack-may-go]");
  if (stays === false && said) {
    said.hidden = false;
  }
}

const place = document.querySelector("[data-pack]");
if (place) {
  const words = place.querySelector("[data-pack-words]") ?? place.appendChild(document.createElement("p"));
  words.setAttribute("role", "status");
  keepShell(
    () => {},
    async (kept) => {
      const text = await packBake(place.dataset.pack, kept);
      words.textContent = text;
      place.dataset.packed = String(text === PACKED);
      if (text === PACKED) {
        askToStay();
      }
    },
  );
}
