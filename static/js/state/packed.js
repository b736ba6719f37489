// Which of the bakes packed in this phone is on.

import { stepNow } from "../plan/retimed.js";

export const SCHEMA = 1; // of bundles that this version can read

const OVER_S = 4 * 3600;

const KEPT_PACKED_S = 3 * 86400;

// Nobody said that a step was done or begun, or looked at its dough.
export const isSilent = ({ done, begun, glasses, looks, pokes }) => [done, begun, glasses, looks, pokes].every((said) => said.length === 0);

// Until when a bake is walked on, as webapp/kitchens/unbegun.py: one that was forgotten for a year is not, nor past its supper
// one that nobody has begun.
export function forgottenAt(plan, state) {
  const last = Math.max(plan.made_at, plan.supper, state.supper, state.later, ...state.done.map((done) => done.at));
  return last + (isSilent(state) ? 0 : KEPT_PACKED_S);
}

const KEPT_S = 30 * 86400;

// Bakes that need not be in this phone any more: eaten a month ago, or given up. The book has them.
export function outdated(bundles, givenUp, shown, now) {
  const ids = bundles.map((bundle) => bundle.plan).filter((plan) => plan.supper < now - KEPT_S || givenUp.includes(plan.bake_id));
  return ids.map((plan) => plan.bake_id).filter((id) => id !== shown);
}

// When its next step comes; nothing of what is over, was to be eaten long ago or cannot be read.
export function nextAt({ over, plan, retimed }, now) {
  return over || plan.supper <= now - OVER_S ? undefined : retimed?.steps.find((timed) => timed.step_id === retimed.current)?.start;
}

// The last step of the chain is done, or long ago by now.
export function isEaten(plan, retimed) {
  const last = plan.steps.filter((step) => step.chain).pop();
  return last !== undefined && stepNow(retimed, last).status !== "open";
}
