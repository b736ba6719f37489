// What can be done on the kitchen screen, and what is said to it: put a bake on it, write down what happened, take it back, say a note. Each changes
// the state and asks for a look; nothing here draws.

import { say } from "../lib/dom.js";
import { eventOf, eventsOf, keepAgain, unkept, write } from "../lib/log.js";
import { rest } from "../touch/rest.js";
import { stillSaid } from "../now/journal.js";
import { PERHAPS } from "../now/ringing.js";
import { stepNow } from "../plan/retimed.js";
import { turn } from "../lib/turn.js";
import { pickBake } from "./on_the_screen.js";
import { Bake } from "./bake.js";

const EMPTY = [];
const SEEN_MS = 150; // what takes longer is said to be under way (common sense)

// `look(kitchen)` draws what follows from the state.
export function giveActions(kitchen, look) {
  kitchen.look = () => look(kitchen);
  kitchen.note = (reason, value) => note(kitchen, reason, value);
  kitchen.open = (...asked) => {
    kitchen.asked = { asked, step: kitchen.step }; // the sheets are not here yet
  };
  kitchen.show = (id) => show(kitchen, id);
  kitchen.refresh = () => refresh(kitchen);
  kitchen.reread = (ids) => reread(kitchen, ids);
  kitchen.tell = (...items) => tell(kitchen, kitchen.bake, items);
  kitchen.undo = (holds) => undo(kitchen, kitchen.bake, holds);
  kitchen.undoStep = (step_id) => kitchen.undo((event) => (event.kind === "done" || event.kind === "begun") && event.data.step_id === step_id);
  kitchen.keepAgain = async () => note(kitchen, "full", (await keepAgain(kitchen.store)) || kitchen.notes.closed ? null : "full");
}

function note(kitchen, reason, value) {
  if (kitchen.notes[reason] !== value) {
    kitchen.notes[reason] = value;
    onbeforeunload = kitchen.notes.full ? (event) => event.preventDefault() : null; // what is only in memory goes with the page
    kitchen.look();
  }
}

// Put this bake on the screen ("" = the one that is on), as the database has it.
async function show(kitchen, id) {
  kitchen.wanted = id;
  kitchen.chosenAt = kitchen.now();
  await refresh(kitchen);
}

// Bakes may have come or gone.
async function refresh(kitchen) {
  await readBakes(kitchen);
  pickBake(kitchen); // works out every time of it
  await turn();
  kitchen.look();
}

async function readBakes(kitchen) {
  const { store } = kitchen;
  const bundles = await store.bundles().catch(() => null);
  if (bundles === null) {
    return; // what is known stays
  }
  const journals = await Promise.all(bundles.map(({ plan }) => eventsOf(store, plan.bake_id, kitchen.bakes.has(plan.bake_id))));
  takeBakes(kitchen, bundles, journals);
  kitchen.allRead = true;
}

// What was read of the phone's database: these are the bakes, with these journals.
export function takeBakes(kitchen, bundles, journals) {
  const read = new Map();
  bundles.forEach((bundle, i) => {
    const had = kitchen.bakes.get(bundle.plan.bake_id);
    const same = had && had.plan.revision === bundle.plan.revision && had.bundle.schema === bundle.schema && had.bundle.served_at === bundle.served_at && had.bundle.worded === bundle.worded;
    const bake = same ? had : new Bake(bundle);
    bake.take(had?.events ?? EMPTY);
    bake.take(journals[i]);
    read.set(bake.id, bake);
  });
  kitchen.givenUp.forEach((id) => read.delete(id));
  kitchen.bakes = read;
}

// Journals may have grown elsewhere: another window, the other phone.
async function reread(kitchen, ids = [...kitchen.bakes.keys()]) {
  await readAgain(kitchen, ids);
  pickBake(kitchen);
  kitchen.look();
}

async function readAgain(kitchen, ids) {
  for (const id of ids) {
    const events = await eventsOf(kitchen.store, id, kitchen.bakes.has(id));
    kitchen.bakes.get(id)?.take(events);
  }
}

const writing = new Map(); // what is being written down just now -> its promise

// Write down what happened to this bake; the screen follows at once, the sending later. `items`: [kind, data, at?], ... What is
// said again while it is being written is the same thing.
function tell(kitchen, bake, items) {
  const what = JSON.stringify([bake.id, items.map(([kind, data]) => [kind, data])]);
  if (!writing.has(what)) {
    writing.set(what, told(kitchen, bake, items).finally(() => writing.delete(what)));
  }
  return writing.get(what);
}

async function told(kitchen, bake, items) {
  rest();
  const events = items.map(([kind, data, at]) => eventOf(bake, kitchen.phone || "new", kind, data, at ?? kitchen.now()));
  const step = kitchen.step;
  const sheet = document.querySelector("dialog.sheet"); // closed by this very tap it still stands there
  const done = events.find((event) => event.kind === "done")?.data.step_id;
  kitchen.telling += 1;
  kitchen.heard = done ?? kitchen.heard;
  const slow = setTimeout(kitchen.look, SEEN_MS); // a quick one shows what came of it instead
  await writeDown(kitchen, bake, events).finally(() => {
    clearTimeout(slow);
    kitchen.telling -= 1;
    kitchen.heard = done ? "" : kitchen.heard;
  });
  pickBake(kitchen);
  kitchen.look();
  rest(true); // the screen is another one now
  if (kitchen.step !== step) {
    sayNext(kitchen);
  } else if (sheet) {
    kitchen.more?.showSaid(items[0][0]);
  }
  dispatchEvent(new CustomEvent("kitchen-told", { detail: bake.id }));
  return events;
}

async function writeDown(kitchen, bake, events) {
  const kept = await write(kitchen.store, events);
  note(kitchen, "full", unkept.length === 0 || kitchen.notes.closed ? null : "full"); // what was held before may still be
  kitchen.bakes.get(bake.id)?.take(events);
  if (kept) {
    await readAgain(kitchen, [bake.id]); // where it does not answer, nobody waits for it twice
  }
}

// To those who listen to the screen: what comes now, and when.
function sayNext(kitchen) {
  const current = kitchen.bake?.plan.steps.find((step) => kitchen.step === `${kitchen.shown} ${step.step_id}`);
  if (!current) {
    return;
  }
  const { start } = stepNow(kitchen.retimed, current);
  const when = start <= kitchen.now() ? "now" : kitchen.format.dayClock(start, kitchen.now());
  say(`${current.title}: ${when}.`);
}

// Take back every event of this bake that this holds for.
function undo(kitchen, bake, holds) {
  const items = stillSaid(bake.events).filter(holds).map((event) => ["undo", { event_id: event.event_id }]);
  return items.length > 0 ? tell(kitchen, bake, items) : null;
}

// What comes behind it waits for it.
export const holdsUp = (step) => step.chain || step.kind === "preheat";

const EARLY_S = 3 * 3600;
const OUT_OF_FRIDGE = ["sauce", "cheese-out"]; // from then on it must not wait for long
const LONG_DUE_S = 1800;

// A step is said to be done; `at`: when, null = now; of a step that was done it is said anew. What would move the whole day is asked about
// first: hours before its time by what was said, however late the clock has made it since. One that was forgotten is not
// filed as done just now.
export function sayDone(kitchen, step, at = null) {
  const when = at ?? kitchen.now();
  const open = kitchen.retimed.steps.some((one) => one.step_id === step.step_id && one.status === "open");
  if (at === null && wasForgotten(kitchen, step)) {
    kitchen.open("when", step);
  } else if ((holdsUp(step) || OUT_OF_FRIDGE.includes(step.kind)) && open && kitchen.dueAt(step.step_id) - when > EARLY_S) {
    kitchen.open("early", { step, at });
  } else if (open && kitchen.more?.unticked(kitchen, step).length > 0) {
    kitchen.open("unticked", { step, at });
  } else {
    const before = open || at === null ? [] : stillSaid(kitchen.events).filter((event) => event.kind === "done" && event.data.step_id === step.step_id);
    const lies = kitchen.more?.laidOut(kitchen, step) ?? [];
    kitchen.tell(...before.map(({ event_id }) => ["undo", { event_id }]), ["done", { step_id: step.step_id }, when], ...lies);
  }
}

// Long due, and by the plan it is the turn of what comes behind it, or all was to be eaten by now: it may have been done, and
// only now be said.
function wasForgotten(kitchen, step) {
  const late_s = kitchen.now() - kitchen.dueAt(step.step_id);
  const turned = kitchen.now() > kitchen.untimed().eat_at || kitchen.rings.some((ring) => ring.bake_id === kitchen.shown && ring.rank >= PERHAPS);
  return holdsUp(step) && late_s > LONG_DUE_S && turned;
}
