// The worker that keeps the shell: registered, asked for news, and told to take over only when the person says so. What does
// not succeed (no server just now, a file that did not come, a cache that was swept away) is tried again.

import { Arriving } from "./arriving.js";
import { inTime } from "./store.js";

const KEEPING_PATIENCE_MS = 20000;
const TRIED_EACH_MS = 300000; // each try fetches all of it

let watched = null; // the registration whose news are heard

// `onUpdate({ take })` when a new version waits. `onKept(true)` once the page is in this phone whole, `false` while it is not
// and is tried again, `null` where the browser keeps no page.
export function keepShell(onUpdate, onKept) {
  if (!("serviceWorker" in navigator)) {
    onKept(null);
    return;
  }
  const arriving = new Arriving((missing) => missing && onKept(false));
  arriving.take(() => inTime(keep(onUpdate), KEEPING_PATIENCE_MS), TRIED_EACH_MS).then(onKept);
}

async function keep(onUpdate) {
  const registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  if (!registration) {
    return null; // some browsers only look as if they did
  }
  if (watched !== registration) {
    watched = registration;
    watch(registration, onUpdate);
  }
  if (!registration.active) {
    await settled(registration.installing ?? registration.waiting);
  }
  if (!registration.active || !(await isWhole(registration.active))) {
    throw new Error("not all of the page is kept");
  }
  return true;
}

function watch(registration, onUpdate) {
  offer(registration, onUpdate);
  registration.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming?.addEventListener("statechange", () => coming.state === "installed" && offer(registration, onUpdate));
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && watched === registration) {
      registration.update().catch(() => {});
    }
  });
}

// Until the very first one is at work, or will never be.
const settled = (worker) =>
  new Promise((done) => {
    const look = () => (worker.state === "activated" || worker.state === "redundant") && done();
    worker.addEventListener("statechange", look);
    look();
  });

// The worker's cache holds every file: what is not there any more it fetches first.
const isWhole = (worker) =>
  new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data === true);
    worker.postMessage("whole", [port2]);
  });

function offer(registration, onUpdate) {
  // The very first worker has nobody to replace and takes over by itself.
  if (!registration.waiting || !navigator.serviceWorker.controller) {
    return;
  }
  const take = () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    registration.waiting?.postMessage("take over");
  };
  onUpdate({ take });
}
