// One bake in this phone: its plan, its journal, and what follows from both at a moment.

import { doughOf, fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { hasBeen } from "../lib/clock.js";
import { formatFor } from "../lib/format.js";
import { phraseOf, withPlain } from "../lib/labels.js";
import { sayWhereItStands } from "./stands.js";
import { sayWhoseItIs } from "./whose.js";
import { SCHEMA, forgottenAt, isEaten, isSilent } from "./packed.js";

const UNITS = { clock: "24", mass_unit: "g", heat_unit: "C", scale_step_g: 1, avoid: [] };

export class Bake {
  bundle = null;
  events = [];
  state = null; // the journal folded
  retimed = null; // every step’s time as things stand
  eaten = false;
  forgotten = false; // nobody said anything for days: nothing of it is due any more
  worked = [0, 0]; // from when until when that holds
  hold = { units: null, words: null, format: null, untimed: null }; // made when they are first asked for

  constructor(bundle) {
    this.bundle = bundle;
    hasBeen(bundle.served_at ?? 0);
    Object.seal(this);
  }

  get id() {
    return this.bundle.plan.bake_id;
  }

  get bake_id() {
    return this.id; // as now/ringing.js asks for it
  }

  get plan() {
    return this.bundle.plan;
  }

  // Of which dough it is said what is said of this bake.
  get dough() {
    return doughOf(this.plan);
  }

  get readable() {
    return this.bundle.schema <= SCHEMA;
  }

  get units() {
    this.hold.units ??= { ...UNITS, ...this.bundle.kitchen };
    return this.hold.units;
  }

  // The words that came with the bundle.
  get words() {
    this.hold.words ??= withPlain(this.bundle.words);
    return this.hold.words;
  }

  // What it says under this key, with what belongs into the braces.
  phrase(key, figures) {
    return phraseOf(this.words.phrases, key, figures);
  }

  get format() {
    this.hold.format ??= formatFor(this.plan.zone, this.units, this.words.days);
    return this.hold.format;
  }

  // The steps' times with no regard to the clock: since when what is due is due.
  get untimed() {
    this.hold.untimed ??= retime(this.plan, this.state, 0);
    return this.hold.untimed;
  }

  get over() {
    return this.eaten || this.forgotten;
  }

  // Supper is past and nobody said that anything of it was done, or how it came out (webapp/kitchens/unbegun.py).
  get unbegun() {
    return this.forgotten && isSilent(this.state) && this.state.outcome.length === 0;
  }

  // When it was eaten, or was to be as agreed last.
  get eaten_at() {
    return this.eaten ? this.retimed.eat_at : (this.state ?? this.plan).supper;
  }

  // What was read of the journal, joined to what is known: it only grows, and a reading that began before something was said
  // takes nothing back. Nothing is worked out again when it says the same.
  take(events) {
    const read = new Set(events.map((event) => event.event_id));
    const more = this.events.filter((event) => !read.has(event.event_id));
    const had = this.events.length;
    this.events = [...events, ...more];
    if (this.events.length !== had) {
      this.state = null;
    }
  }

  // Work out what follows at `now`; `whole` also when no step's time can have changed. Not twice for one second.
  work(now, whole = false) {
    if (!this.readable) {
      return;
    }
    if (this.state === null) {
      this.state = fold(this.plan, this.events);
      callByItsDay(this);
      this.worked = [0, 0];
      this.hold.untimed = null;
    }
    const [from, until] = this.worked;
    if ((whole && now !== from) || now < from || now >= until) {
      this.follow(now);
    }
  }

  follow(now) {
    const last = forgottenAt(this.plan, this.state);
    this.retimed = retime(this.plan, this.state, now > last ? (isSilent(this.state) ? this.plan.made_at : last) : now);
    this.eaten = isEaten(this.plan, this.retimed);
    this.forgotten = now > last && this.retimed.current !== "";
    if (this.forgotten) {
      Object.assign(this.retimed, { current: "", next: "" });
    }
    sayWhereItStands(this);
    sayWhoseItIs(this, now);
    this.worked = [now, this.over ? Infinity : holdsUntil(this.retimed, now)];
  }
}

// A bake is called by the day on which it is eaten by now (webapp/words/spoken.py); what a version before called it stays.
function callByItsDay(bake) {
  const { plan, state, format } = bake;
  const called = (supper) => bake.phrase("bake for", { formula: plan.formula_name, day: format.weekday(supper) });
  plan.own ??= plan.title;
  plan.title = plan.own === called(plan.supper) ? called(state.supper) : plan.own;
}

// Times change when the next step begins, and by the minute while one that is due waits for somebody.
function holdsUntil(retimed, now) {
  const open = retimed.steps.filter((timed) => timed.status === "open").map((timed) => timed.start);
  const minute = open.some((start) => start <= now) ? now - (now % 60) + 60 : Infinity;
  return Math.min(minute, ...open.filter((start) => start > now));
}
