// Whom a step suits at the time at which it stands. Twin of webapp/core/plan/whose.py: change both or neither.

import { isEmpty, there } from "./house.js";

// As planned where it stands as planned.
export function who({ house }, step, { start, end }) {
  if (start === step.start && end === step.end) {
    return step.who;
  }
  return house.people.length > 1 ? there(house, start, end, step.presence) : [];
}

// Does a step to come, for which somebody was there as planned, stand where by these hours nobody is?
export function isUnseen(house, plan, state, step, { start, end }, now) {
  if (start <= now || step.presence === "none" || !wasSeenTo(plan, step)) {
    return false;
  }
  const seen = start === step.start ? [] : state.done.map((done) => done.at); // hours that were told for it stand
  return isEmpty(house, start, end, step.presence, seen);
}

function wasSeenTo({ busy, nobody }, { start, end, presence }) {
  const over = Math.max(end, start + 1);
  return !(nobody ?? busy).some((one) => (presence === "hands" || one.kind !== "busy") && one.start < over && start < one.end);
}
