// What runs behind the screen once it can be seen: sending, fetching, the worker, the alarm.

import { appliedSeconds, goByServer, likelyNow } from "../lib/clock.js";
import { SENT, phoneId } from "../lib/log.js";
import { Refused, ask, catchUp, exchange } from "../lib/sync.js";
import { unsentEvents } from "../lib/sent.js";
import { keepShell } from "../lib/worker.js";
import { beginAlarm, withRings } from "../alarm/alarm.js";
import { fetchBundles } from "./bundles.js";

const SYNC_EVERY_MS = 60000;
const LISTED_S = 35 * 3600; // the server lists what was eaten a little longer ago than that

let running = null; // the exchange under way
let again = false; // asked for meanwhile

export async function begin(kitchen) {
  addEventListener("store-closed", () => kitchen.note("closed", true));
  const channel = "BroadcastChannel" in self ? new BroadcastChannel("suppertide-journal") : null;
  channel?.addEventListener("message", ({ data }) => data?.told && kitchen.reread([data.told]));
  addEventListener("kitchen-told", ({ detail }) => {
    channel?.postMessage({ told: detail });
    sync(kitchen);
  });
  addEventListener("online", () => sync(kitchen));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sync(kitchen));
  setInterval(() => sync(kitchen), SYNC_EVERY_MS); // behind other pages too: the other phone may have said that it is done
  beginAlarm(kitchen, channel);
  keepShell((update) => kitchen.note("update", update && { ...update, busy: isBusy(kitchen) }), (kept) => sayKept(kitchen, kept));
  addEventListener("kitchen-looked", () => {
    const { update } = kitchen.notes;
    if (update && update.busy !== isBusy(kitchen)) {
      kitchen.note("update", { ...update, busy: isBusy(kitchen) });
    }
  });
  await sync(kitchen);
}

// Whether this page opens again with no connection.
function sayKept(kitchen, kept) {
  kitchen.note("insecure", (kept === null && !isSecureContext) || null);
  kitchen.note("unkept", kept ? null : kept === null ? "never" : "soon");
}

// A step is running, of whichever bake: it is due, hands are in it, or something is in the oven.
function isBusy(kitchen) {
  const isOn = (ring) => ring.stage === "due" || ring.stage === "hushed";
  return kitchen.rings.some(isOn) || kitchen.ringing.some((bake) => !bake.over && inHand(bake));
}

function inHand({ plan, state, retimed }) {
  const step = plan.steps.find((one) => one.step_id === retimed.current);
  const begun = state.begun.some((one) => one.step_id === retimed.current);
  return begun || retimed.place === "oven" || (state.weighed.length > 0 && step?.kind === "mix");
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
    const { shown } = kitchen;
    const { bakes, home, worded } = await ask("/api/bakes"); // first: its answer tells how wrong the clock was that said what is sent
    const { changed, revision, gone, refused } = await exchange(kitchen.store, shown);
    kitchen.gone = new Set(gone);
    kitchen.note("unknown", null);
    kitchen.note("rejected", null);
    await takeAway(kitchen, bakes, home);
    await fetchBundles(kitchen, bakes, worded, shown, revision);
    const others = await catchUpAll(kitchen, bakes.filter((row) => row.bake_id !== shown));
    await kitchen.reread(changed ? undefined : others);
    if (refused) {
      throw refused;
    }
    await sayWaiting(kitchen, "");
  } catch (error) {
    const knew = kitchen.bakes.size > 0 || kitchen.events.length > 0; // a phone that never had a bake has lost none
    kitchen.note("unknown", (knew && error instanceof Refused && error.status === 401) || null);
    kitchen.note("rejected", error instanceof Refused && error.status !== 401 ? reason(error) : null);
    await sayWaiting(kitchen, error instanceof Refused ? "refused" : "silent");
  }
  if (appliedSeconds() !== 0) {
    await kitchen.store.setMeta("clock", appliedSeconds()).catch(() => {});
  }
  kitchen.look();
}

// What was given up or deleted, on whichever phone, leaves the kitchen; which of the two is said once.
async function takeAway(kitchen, rows, home) {
  const listed = rows.map((row) => row.bake_id);
  const off = rows.filter((row) => row.dropped_at).map((row) => row.bake_id);
  const all = [...kitchen.bakes.values()];
  const left = all.filter(({ id, plan }) => off.includes(id) || kitchen.gone.has(id) || (plan.supper > likelyNow() - LISTED_S && !listed.includes(id)));
  const before = [...kitchen.givenUp].filter((id) => !listed.includes(id));
  kitchen.givenUp = new Set([...before, ...off, ...left.map((bake) => bake.id)]);
  await kitchen.store.setMeta("given up", [...kitchen.givenUp]).catch(() => {});
  const still = kitchen.notes.left.filter(([id]) => !listed.includes(id) || off.includes(id)); // one that is taken up again rings
  if (left.length > 0 || still.length < kitchen.notes.left.length) {
    const own = left.filter(({ bundle }) => (bundle.home ?? home) === home); // not of a kitchen that the phone has left
    kitchen.notes.left = [...still, ...own.map(({ id, plan }) => [id, plan.title, off.includes(id)])];
    await kitchen.store.setMeta("left", kitchen.notes.left).catch(() => {}); // until somebody has read it
    await kitchen.refresh();
  }
}

const reason = (error) => error.errors.map((one) => `${one.message} ${one.way_out}`).join(" ") || `(${error.status})`;

// What was said of the bakes that are not on the screen, on another phone: they must not ring after it was done there.
async function catchUpAll(kitchen, rows) {
  const behind = []; // this page, whoever wrote into the phone what it does not know: another window may have
  for (const { bake_id, told } of rows) {
    const bake = kitchen.bakes.get(bake_id);
    const sent = bake?.events.filter((event) => event.sent === SENT.yes).length;
    if (bake?.readable && sent !== told) {
      await catchUp(kitchen.store, bake_id);
      behind.push(bake_id);
    }
  }
  return behind;
}

async function sayWaiting(kitchen, why) {
  const unsent = await unsentEvents(kitchen.store);
  await kitchen.reread([kitchen.shown]); // it says which of them the server refused
  kitchen.note("waiting", why === "silent" ? { why, count: unsent.length } : null);
}

const keyOf = ({ event_id, sent }) => `${event_id} ${sent}`;

// A database that answered late takes over, with all that was said meanwhile and what was not chosen anew.
export async function takeOver(kitchen, store) {
  const early = kitchen.store;
  const bundles = await early.bundles();
  try {
    const [rings = [], kept = [], clock = 0] = await Promise.all(["rings", "kept ahead", "clock"].map((key) => store.meta(key)));
    await Promise.all(bundles.map((bundle) => store.putBundle(bundle)));
    await writeAll(early, store, bundles);
    kitchen.store = store;
    kitchen.rings = withRings(kitchen.rings, rings);
    kitchen.keptAhead = [...new Set([...kept, ...kitchen.keptAhead])];
    await store.setMeta("clock", goByServer((await early.meta("clock")) ?? clock));
    await store.setMeta("kept ahead", kitchen.keptAhead);
    kitchen.phone = await phoneId(store);
  } catch {
    return; // it keeps nothing: the page goes on as it is
  }
  kitchen.note("memory", null);
  await kitchen.refresh();
  await sync(kitchen);
}

// Meanwhile more may be said, or sent.
async function writeAll(from, store, bundles) {
  const written = new Set();
  const fresh = async () => {
    const journals = await Promise.all(bundles.map((bundle) => from.events(bundle.plan.bake_id)));
    return [...journals.flat(), ...(await from.unsent())].filter((event) => !written.has(keyOf(event)));
  };
  for (let left = await fresh(); left.length > 0; left = await fresh()) {
    await store.addEvents(left);
    left.forEach((event) => written.add(keyOf(event)));
  }
}
