// Which bake is on the screen, and which of its steps fills it.

import { GRID_S } from "../now/marked.js";
import { stepNow } from "../plan/retimed.js";
import { nextAt } from "./packed.js";

const PATIENCE_S = 600; // a bake that was asked for stays so long, though it is eaten
export const EATEN_SHOWN_S = 3600;

// A bake that is on stays on: nothing may change under somebody's hands because another one arrived. One that is eaten
// gives way: to what is due elsewhere, and after the meal to whatever comes next; one that was never begun to nothing too.
export function pickBake(kitchen) {
  const now = kitchen.now();
  for (const bake of kitchen.bakes.values()) {
    bake.work(now);
  }
  const asked = kitchen.wanted || kitchen.choice;
  const bake = kitchen.bakes.get(asked);
  if (kitchen.givenUp.has(asked) || (bake && givesWay(kitchen, bake, now))) {
    kitchen.wanted = "";
    history.replaceState(null, "", location.pathname + location.search);
    kitchen.choice = next(kitchen, now);
  } else if (kitchen.wanted) {
    kitchen.choice = kitchen.wanted;
  } else if (!bake) {
    kitchen.choice = next(kitchen, now);
  }
}

function givesWay(kitchen, bake, now) {
  if (!bake.over || now - kitchen.chosenAt < PATIENCE_S || document.querySelector("dialog[open]")) {
    return false;
  }
  if (bake.unbegun) {
    return true;
  }
  const others = kitchen.ringing.filter((one) => one !== bake && !one.over);
  const last = Math.max(...bake.state.done.map((done) => done.at), 0);
  return others.length > 0 && (bake.forgotten || now - last > EATEN_SHOWN_S || kitchen.rings.some((ring) => ring.bake_id !== bake.id));
}

// The one whose step comes next; else the one that was eaten last; none that was never begun.
function next(kitchen, now) {
  const bakes = [...kitchen.bakes.values()].filter((bake) => !bake.unbegun).sort((a, b) => a.plan.supper - b.plan.supper);
  const on = bakes.filter((bake) => nextAt(bake, now)).sort((a, b) => nextAt(a, now) - nextAt(b, now));
  return (on[0] ?? bakes.at(-1))?.id ?? "";
}

// The step that fills the screen: of those that are due the one that matters most, else the one that comes first.
export function currentOf(kitchen) {
  const { bake } = kitchen;
  if (!bake?.retimed?.current) {
    return null;
  }
  const due = dueHere(kitchen)[0];
  return at(bake, due?.step_id ?? bake.retimed.current);
}

// What is due of this bake, what matters most first.
export function dueHere(kitchen) {
  const { bake } = kitchen;
  const open = (ring) => ring.bake_id === bake?.id && (ring.stage === "due" || ring.stage === "hushed");
  return bake ? kitchen.rings.filter((ring) => open(ring) && isDue(kitchen, at(bake, ring.step_id))) : [];
}

// The one that comes after it.
export function nextOf(kitchen, current) {
  const { retimed } = kitchen.bake;
  const due = dueHere(kitchen).map((ring) => ring.step_id); // said already, under the step
  const open = retimed.steps.filter((timed) => timed.status === "open" && timed.step_id !== current.step.step_id && !due.includes(timed.step_id));
  const first = open.reduce((best, timed) => (best && best.start <= timed.start ? best : timed), null);
  return first && at(kitchen.bake, first.step_id);
}

// What is eaten at the next full five minutes is due all the while, and counts down to none of them.
const eats = (kitchen, { step, timed }, now) => step.kind === "serve" && timed.start - now < GRID_S && kitchen.dueAt(step.step_id) <= now;

export function isDue(kitchen, one) {
  const now = kitchen.now();
  return one?.timed.status === "open" && (one.timed.start <= now || eats(kitchen, one, now));
}

function at(bake, step_id) {
  const place = bake.plan.steps.findIndex((step) => step.step_id === step_id);
  const step = bake.plan.steps[place];
  return step ? { step, timed: stepNow(bake.retimed, step), at: place } : null;
}

// Can the dough still be carried elsewhere? Not from the oven, nor once it is out of it.
export const isInHand = ({ place }) => place !== "oven" && place !== "none";

// Is there a dough? From then on it is changed from where it stands.
export const isMixed = ({ bundle, retimed }) => bundle.plan.steps.some((step) => step.kind === "mix" && stepNow(retimed, step).status !== "open");

// By when to come home, while that step is to be done, and it and supper are where they were when that was said.
export function homeOf({ bundle: { home_by: home }, retimed }) {
  const timed = home?.supper === retimed.supper && stepNow(retimed, home);
  return timed?.status === "open" && timed.start === home.start ? home : null;
}
