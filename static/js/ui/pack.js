// On the bake's own page: pack it into this phone for the kitchen screen, and say "packed" only after the shell in the
// cache and the bake in the database were read back. Without a script the page says what is to be done instead.

import { SENT } from "../lib/log.js";
import { openStore } from "../lib/store.js";
import { ask } from "../lib/sync.js";
import { keepShell } from "../lib/worker.js";

const SHELL = "/kitchen";
const PATIENCE_MS = 20000;

const WORDS = {
  good: "Packed for the kitchen: it works with no connection from now on.",
  insecure: "This address is plain http, so the browser keeps nothing for later. Over https, or on this computer itself, the kitchen works with no connection.",
  none: "This browser keeps no data (a private window?). The kitchen works while the server answers.",
  full: "This phone’s storage is full: the bake could not be packed. Free some space and open this page again.",
  later: "Not packed yet: the server did not answer in time. Open this page again before you go.",
};

async function pack(id) {
  const store = await openStore();
  if (store.kind !== "kept") {
    return "none";
  }
  const bundle = await ask(`/api/bakes/${encodeURIComponent(id)}/bundle`);
  try {
    await store.putBundle(bundle);
    await store.addEvents(bundle.events.map((event) => ({ ...event, sent: SENT.yes })));
  } catch {
    return "full";
  }
  let insecure = false;
  await keepShell(() => {}, () => (insecure = true));
  if (insecure) {
    return "insecure";
  }
  navigator.storage?.persist?.().catch(() => {});
  await within(navigator.serviceWorker?.ready);
  const [kept, shell] = await Promise.all([store.bundle(id), caches.match(SHELL)]);
  return kept?.plan.revision === bundle.plan.revision && shell ? "good" : "later";
}

function within(promise) {
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS));
  return Promise.race([promise ?? Promise.resolve(), late]);
}

const place = document.querySelector("[data-pack]");
if (place) {
  const words = place.querySelector("[data-pack-words]");
  words.setAttribute("role", "status");
  const outcome = await pack(place.dataset.pack).catch(() => "later");
  place.dataset.packed = outcome;
  words.textContent = WORDS[outcome];
  words.className = outcome === "good" ? "pack__good" : "pack__not";
}
