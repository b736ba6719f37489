// What was said of a step, and what that settles. Twin of webapp/core/now/settled.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

import { IN_OVEN } from "./marked.js";

export function isSettled(state, chain, i) {
  if (saidAt(state.done, chain[i].step_id) !== 0) {
    return true;
  }
  for (const later of chain.slice(i + 1)) {
    if (saidAt(state.done, later.step_id) !== 0 && overtakes(later, chain[i])) {
      return true;
    }
  }
  return false;
}

function overtakes(later, step) {
  return !IN_OVEN.includes(later.kind) || later.load >= step.load;
}

export function saidAt(said, step_id) {
  for (const one of said) {
    if (one.step_id === step_id) {
      return one.at;
    }
  }
  return 0;
}
