// What runs behind the screen once it can be seen: sending, fetching, the worker, the alarm, the lamp, the chart.

import { appliedSeconds } from "../lib/clock.js";
import { SENT, eventsOf, unsentEvents } from "../lib/log.js";
import { Refused, ask, exchange } from "../lib/sync.js";
import { keepShell } from "../lib/worker.js";
import { beginAlarm } from "./alarm.js";
import { isDue, currentOf } from "../step/step.js";
import { SCHEMA, outdated } from "../lib/packed.js";
import { beginTide } from "./chart.js";

const EVERY_MS = 60000;

let running = null; // the exchange under way
let again = false; // asked for meanwhile

export async function begin(kitchen) {
  addEventListener("store-closed", () => kitchen.note("closed", true));
  const channel = "BroadcastChannel" in self ? new BroadcastChannel("suppertide-journal") : null;
  channel?.addEventListener("message", () => kitchen.reread());
  addEventListener("kitchen-told", () => {
    channel?.postMessage("told");
    sync(kitchen);
  });
  addEventListener("online", () => sync(kitchen));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sync(kitchen));
  setInterval(() => document.visibilityState === "visible" && sync(kitchen), EVERY_MS);
  beginAlarm(kitchen);
  beginTide(kitchen);
  keepShell((update) => kitchen.note("update", update && { ...update, busy: isBusy(kitchen) }), () => kitchen.note("insecure", true));
  addEventListener("kitchen-looked", () => {
    const { update } = kitchen.notes;
    if (update && update.busy !== isBusy(kitchen)) {
      kitchen.note("update", { ...update, busy: isBusy(kitchen) });
    }
  });
  await sync(kitchen);
}

// A step is running: it is due, hands are in it, or something is in the oven.
export function isBusy(kitchen) {
  const current = currentOf(kitchen);
  if (current === null || kitchen.bundle.schema > SCHEMA) {
    return false;
  }
  const begun = kitchen.state.begun.some((one) => one.step_id === current.step.step_id);
  return isDue(kitchen, current) || begun || kitchen.retimed.place === "oven" || kitchen.state.weighed.length > 0 && current.step.kind === "mix";
}

// One exchange at a time; what is asked for meanwhile follows.
function sync(kitchen) {
  if (running) {
    again = true;
    return running;
  }
  running = exchangeAll(kitchen).finally(() => {
    running = null;
    if (again) {
      again = false;
      sync(kitchen);
    }
  });
  return running;
}

async function exchangeAll(kitchen) {
  await kitchen.keepAgain();
  try {
    const shown = kitchen.bundle?.plan.bake_id ?? "";
    const { changed, revision, gone } = await exchange(kitchen.store, shown);
    kitchen.note("gone", gone.includes(shown) || null);
    kitchen.note("unknown", null);
    kitchen.note("rejected", null);
    await fetchBundles(kitchen, shown, revision);
    if (changed) {
      await kitchen.reread();
    }
    await sayWaiting(kitchen, "");
  } catch (error) {
    kitchen.note("unknown", (error instanceof Refused && error.status === 401) || null);
    kitchen.note("rejected", error instanceof Refused && error.status !== 401 ? reason(error) : null);
    await sayWaiting(kitchen, error instanceof Refused ? "refused" : "silent");
  }
  if (appliedSeconds() !== 0) {
    await kitchen.store.setMeta("clock", appliedSeconds()).catch(() => {});
  }
  kitchen.noteClock();
}

const reason = (error) => error.errors.map((one) => `${one.message} ${one.way_out}`).join(" ") || `(${error.status})`;

// What the server has and this phone has not, or has in an older revision.
async function fetchBundles(kitchen, shown, revision) {
  if (kitchen.notes.closed) {
    return; // another window keeps them now
  }
  const { bakes } = await ask("/api/bakes");
  const wanted = bakes.filter((row) => !row.dropped_at).map((row) => [row.bake_id, row.revision]);
  const asked = kitchen.wanted && !wanted.some(([id]) => id === kitchen.wanted) ? [[kitchen.wanted, 0]] : [];
  const shownRow = shown && revision && !wanted.some(([id]) => id === shown) ? [[shown, revision]] : [];
  let news = await makeRoom(kitchen, bakes.filter((row) => row.dropped_at).map((row) => row.bake_id));
  for (const [id, at] of [...wanted, ...asked, ...shownRow]) {
    const have = await kitchen.store.bundle(id);
    if (!have || have.plan.revision < at || have.schema > SCHEMA) {
      news = (await fetchOne(kitchen, id, have)) || news;
    }
  }
  if (news) {
    await kitchen.show(kitchen.wanted ?? "");
  }
}

// True when something left the phone.
async function makeRoom(kitchen, givenUp) {
  const before = await kitchen.store.bundles().catch(() => []);
  const old = outdated(before, givenUp, kitchen.bundle?.plan.bake_id, kitchen.now());
  for (const id of old) {
    await kitchen.store.dropBake(id).catch(() => {});
  }
  return old.length > 0 && (await kitchen.store.bundles().catch(() => before)).length < before.length;
}

async function fetchOne(kitchen, id, have) {
  let bundle = null;
  try {
    bundle = await ask(`/api/bakes/${encodeURIComponent(id)}/bundle`);
  } catch (error) {
    if (error instanceof Refused && error.status === 404) {
      return false;
    }
    throw error;
  }
  const readable = bundle.schema <= SCHEMA;
  if (have && have.schema <= SCHEMA && !readable) {
    kitchen.note("newer", true); // a plan that can be read is worth more than a newer one that cannot
    return false;
  }
  await kitchen.store.putBundle(bundle).catch(() => kitchen.note("unpacked", "This phone’s storage is full: the bake could not be packed. Free some space and open this page again."));
  await kitchen.store.addEvents(bundle.events.map((event) => ({ ...event, sent: SENT.yes }))).catch(() => {});
  return readable || !have;
}

async function sayWaiting(kitchen, why) {
  const unsent = await unsentEvents(kitchen.store);
  const here = kitchen.bundle ? await eventsOf(kitchen.store, kitchen.bundle.plan.bake_id) : [];
  const refused = here.filter((event) => event.sent === SENT.refused).length;
  kitchen.note("refused", refused > 0 ? (refused === 1 ? "one entry" : `${refused} entries`) : null);
  const count = unsent.length === 1 ? "One entry waits" : `${unsent.length} entries wait`;
  const words = why === "silent" && unsent.length > 0 ? `${count} in this phone for the server. Nothing is lost.` : null;
  kitchen.note("waiting", why === "silent" ? words ?? "The server does not answer. The kitchen needs nothing from it." : words);
}
