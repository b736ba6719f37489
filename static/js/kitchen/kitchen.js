// The kitchen screen: one controller. Bundle and events from the phone's database -> fold -> retime -> screen. A tap
// writes an event and draws again; the network is nowhere in that path.

import { fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { goByServer, now } from "../lib/clock.js";
import { redraw } from "../lib/dom.js";
import { clocksOf, formatFor } from "../lib/format.js";
import { eventOf, eventsOf, keepAgain, phoneId, write } from "../lib/log.js";
import { openStore } from "../lib/store.js";
import { drawNow, tickNow } from "../step/step.js";
import { SCHEMA, forgottenAt, isEaten, pickBundle } from "../lib/packed.js";

const UNITS = { clock: "24", mass_unit: "g", heat_unit: "C", scale_step_g: 1, avoid: [] };

// What every part of the screen is handed.
const kitchen = {
  store: null,
  phone: "",
  bundle: null,
  events: [],
  state: null,
  retimed: null,
  format: null,
  notes: {}, // what has to be said on top of the screen, by reason
  lookedAt: 0,
  now,
  tell,
  undo,
  look,
  show,
  note,
};

async function start() {
  const opening = openStore();
  clocksOf(); // the words of days and hours are fetched while the database opens
  kitchen.store = await opening;
  const id = location.hash.slice(1);
  kitchen.early = id ? { id, bundle: kitchen.store.bundle(id).catch(() => undefined), events: eventsOf(kitchen.store, id) } : null;
  goByServer((await kitchen.store.meta("clock").catch(() => 0)) ?? 0);
  if (kitchen.store.kind === "memory") {
    note("memory", kitchen.store.why);
  }
  await show(id);
  kitchen.early = null;
  performance.mark("step-visible");
  kitchen.phone = await phoneId(kitchen.store);
  addEventListener("hashchange", () => show(location.hash.slice(1)));
  for (const kind of ["visibilitychange", "pageshow", "focus"]) {
    (kind === "visibilitychange" ? document : window).addEventListener(kind, look);
  }
  setInterval(tick, 1000);
  kitchen.more = await import("./more.js");
  await show(kitchen.wanted);
  const { begin } = await import("./background.js");
  await begin(kitchen);
}

// Put this bake on the screen ("" = the one that is on), as the database has it.
async function show(id) {
  const bundles = await bundlesFor(id);
  kitchen.bundles = bundles;
  // A bake that is on stays on: nothing may change under somebody's hands because another one arrived.
  const asked = id || (kitchen.bundle?.plan.bake_id ?? "");
  const bundle = pickBundle(bundles, asked, now(), asked ? [] : await eatenOf(bundles));
  if (kitchen.bundle && bundle?.plan.bake_id !== kitchen.bundle.plan.bake_id) {
    document.querySelector("dialog.sheet")?.close(); // it spoke of the other bake
  }
  kitchen.bundle = bundle;
  kitchen.wanted = id;
  if (bundle && bundle.schema <= SCHEMA) {
    kitchen.format = formatFor(bundle.plan.zone, { ...UNITS, ...bundle.kitchen });
    kitchen.units = { ...UNITS, ...bundle.kitchen };
  }
  await reread();
}

// At the very start only the bake that was asked for; the others are read once the step can be seen.
async function bundlesFor(id) {
  if (kitchen.early) {
    const bundle = await kitchen.early.bundle;
    return bundle ? [bundle] : [];
  }
  return kitchen.store.bundles().catch(() => kitchen.bundles ?? []);
}

async function eatenOf(bundles) {
  const readable = bundles.filter((bundle) => bundle.schema <= SCHEMA).map((bundle) => bundle.plan);
  const journals = await Promise.all(readable.map((plan) => eventsOf(kitchen.store, plan.bake_id)));
  return readable.filter((plan, i) => isEaten(plan, fold(plan, journals[i]))).map((plan) => plan.bake_id);
}

// The journal may have grown elsewhere: another window, the other phone.
async function reread() {
  const id = kitchen.bundle?.plan.bake_id;
  const known = kitchen.events.filter((event) => event.bake_id === id);
  kitchen.events = id ? await (kitchen.early?.events ?? eventsOf(kitchen.store, id, known)) : [];
  look();
}

// Everything that is seen follows from plan, events and the clock.
function look() {
  kitchen.lookedAt = now();
  if (kitchen.bundle && kitchen.bundle.schema <= SCHEMA) {
    const { plan } = kitchen.bundle;
    kitchen.state = fold(plan, kitchen.events);
    const last = forgottenAt(plan, kitchen.state);
    kitchen.retimed = retime(plan, kitchen.state, Math.min(kitchen.lookedAt, last));
    kitchen.forgotten = kitchen.lookedAt > last && kitchen.retimed.current !== "";
    if (kitchen.forgotten) {
      Object.assign(kitchen.retimed, { current: "", next: "" }); // nothing of it is due any more
    }
    kitchen.unhurried = null;
  }
  redraw(document.getElementById("screen"), drawNow(kitchen));
  showStep();
  drawNotes();
  dispatchEvent(new CustomEvent("kitchen-looked"));
}

// A new step begins at its top: the button that brought it stands far below.
function showStep() {
  const step = kitchen.retimed?.current ?? "";
  if (kitchen.onScreen && kitchen.onScreen !== step) {
    document.querySelector("[data-step], #screen > .card")?.scrollIntoView({ block: "start", behavior: "instant" });
  }
  kitchen.onScreen = step;
}

function tick() {
  if (document.visibilityState !== "visible") {
    return;
  }
  // Due is worked out from stored instants, never from counted ticks; everything is drawn anew each minute.
  if (Math.floor(now() / 60) !== Math.floor(kitchen.lookedAt / 60) || tickNow(kitchen)) {
    look();
  }
  dispatchEvent(new CustomEvent("kitchen-tick"));
}

// Write down what happened; the screen follows at once, the sending later. `items`: [kind, data, at?], ...
async function tell(...items) {
  const { bake_id } = kitchen.bundle.plan;
  const events = items.map(([kind, data, at]) => eventOf(bake_id, kitchen.phone || "new", kind, data, at ?? now()));
  const kept = await write(kitchen.store, events);
  note("full", kept || kitchen.notes.closed ? null : "full");
  await reread();
  dispatchEvent(new CustomEvent("kitchen-told"));
  return events;
}

// Take back every event that this holds for.
function undo(holds) {
  const gone = new Set(kitchen.events.filter((e) => e.kind === "undo").map((e) => e.data.event_id));
  const items = kitchen.events
    .filter((event) => event.kind !== "undo" && !gone.has(event.event_id) && holds(event))
    .map((event) => ["undo", { event_id: event.event_id }]);
  return items.length > 0 ? tell(...items) : null;
}

function note(reason, value) {
  const before = kitchen.notes[reason] ?? null;
  kitchen.notes[reason] = value;
  if (before !== value) {
    drawNotes();
  }
}

// Only when they say something else: they are read aloud to those who listen to the screen.
function drawNotes() {
  const place = document.getElementById("notes");
  const nodes = (kitchen.more?.drawNotes(kitchen) ?? []).filter(Boolean);
  if (nodes.map((node) => node.textContent).join("") !== place.textContent) {
    redraw(place, nodes);
  }
}

// Since when a step is due: its time with no regard to the clock.
kitchen.untimed = () => {
  kitchen.unhurried ??= retime(kitchen.bundle.plan, kitchen.state, 0);
  return kitchen.unhurried;
};
kitchen.dueAt = (step_id) => kitchen.untimed().steps.find((step) => step.step_id === step_id).start;
// Every word that this step is done, from whichever phone.
kitchen.undoStep = (step_id) => undo((event) => (event.kind === "done" || event.kind === "begun") && event.data.step_id === step_id);
kitchen.noteClock = drawNotes;
kitchen.keepAgain = async () => note("full", (await keepAgain(kitchen.store)) || kitchen.notes.closed ? null : "full");
kitchen.reread = reread;
kitchen.started = start();
