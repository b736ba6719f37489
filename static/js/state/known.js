// What the kitchen screen knows, every field by name. Sealed: a field that is not declared here cannot come to be. step/ and
// sheets/ only read it and call what can be done. Who writes: actions.js and on_the_screen.js the bakes and which of them is on;
// in alarm/ what rings (alarm.js); in kitchen/ the start (kitchen.js), the server (background.js), what was meant (ahead.js),
// what was drawn (screen.js) and what has been loaded (parts.js, chart.js).

import { now } from "../lib/clock.js";
import { phraseOf } from "../lib/labels.js";
import { heed } from "../now/ringing.js";

const notYet = () => {
  throw new Error("the kitchen has not started");
};

export class Kitchen {
  // The phone
  store = null; // lib/store.js
  phone = ""; // this phone’s random name
  now = now;

  // The bakes in it
  bakes = new Map(); // by id
  allRead = false; // not only the one that is shown first
  givenUp = new Set(); // ids of those that were given up or deleted on the server: they are not among the bakes
  gone = new Set(); // ids of those that were deleted there
  wanted = ""; // the bake that the address asks for; none: the one that is on
  shown = ""; // the bake on the screen, changed together with the screen
  choice = ""; // the bake that is to be on it from the next drawing on
  chosenAt = 0; // when somebody asked for it

  keptAhead = []; // ids of what was said for a time that is still ahead, and meant so (ahead.js)

  // What rings (now/ringing.js), what has to be said on top
  rings = [];
  notes = {
    memory: null, full: null, closed: null, unknown: null, rejected: null, newer: null, update: null, insecure: null, unkept: null,
    unpacked: null, waiting: null, missing: null, left: [], read: [],
  };

  telling = 0; // how much is being written down just now
  heard = ""; // the step that is being written down as done

  // The screen
  step = ""; // bake and step that fill it
  lookedAt = 0;
  asked = null; // the sheet that was asked for before it was here, and on which step

  // Parts that are loaded once the step can be seen
  more = null; // more.js
  drawTide = null; // chart.js
  drawRings = null; // alarm.js
  whole = false; // all of them are here, the sheets too
  bare = false; // the step was drawn before more.js was here: what came later stands under what could be tapped
  stood = []; // what stands below the step from last time, until it is drawn (stood.js)
  allDrawn = false; // what stands below the step is on the screen: it comes at once, and whole

  // What can be done (actions.js, parts.js)
  tell = notYet;
  undo = notYet;
  undoStep = notYet;
  open = notYet;
  show = notYet;
  look = notYet;
  note = notYet;
  reread = notYet;
  refresh = notYet;
  keepAgain = notYet;
  hush = notYet;

  constructor() {
    Object.seal(this.notes);
    Object.seal(this);
  }

  // The bake on the screen, as the views ask for it.
  get bake() {
    return this.bakes.get(this.shown) ?? null;
  }

  get bundle() {
    return this.bake?.bundle ?? null;
  }

  get events() {
    return this.bake?.events ?? [];
  }

  get state() {
    return this.bake?.state ?? null;
  }

  get retimed() {
    return this.bake?.retimed ?? null;
  }

  get format() {
    return this.bake?.format ?? null;
  }

  get words() {
    return this.bake?.words ?? null;
  }

  phrase(key, figures) {
    return phraseOf(this.words?.phrases, key, figures); // with no bundle its key
  }

  get units() {
    return this.bake?.units ?? null;
  }

  get forgotten() {
    return this.bake?.forgotten ?? false;
  }

  // Since when a step is due: its time with no regard to the clock.
  dueAt(step_id) {
    return this.untimed().steps.find((step) => step.step_id === step_id).start;
  }

  untimed() {
    return this.bake.untimed;
  }

  // What rings of every bake as it stands now. Of bakes that were not read yet what rang before stays.
  heed() {
    const now = this.now();
    const bakes = this.ringing;
    bakes.forEach((bake) => bake.work(now));
    const unread = this.allRead ? [] : this.rings.filter((ring) => !this.bakes.has(ring.bake_id));
    this.rings = [...heed(this.rings.filter((ring) => !unread.includes(ring)), bakes, now), ...unread];
  }

  // Bakes that can ring, the next supper first.
  get ringing() {
    const all = [...this.bakes.values()].filter((bake) => bake.readable);
    return all.sort((a, b) => a.plan.supper - b.plan.supper);
  }
}
