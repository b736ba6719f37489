// A fold that nobody does: said in one tap, and the dough goes on without it. One that is due is left out alone; who says so
// ahead is about to go out, and leaves out all that are still to come.

import { button } from "../lib/dom.js";
import { isDue } from "../state/on_the_screen.js";
import { stepNow } from "../plan/retimed.js";

export function drawLeaveOut(kitchen, step) {
  if (step.kind !== "fold") {
    return null;
  }
  const due = isDue(kitchen, { step, timed: stepNow(kitchen.retimed, step) });
  const folds = due ? [step] : kitchen.bundle.plan.steps.filter((one) => one.kind === "fold" && stepNow(kitchen.retimed, one).status === "open");
  const words = kitchen.phrase(due ? "not folded go on" : folds.length > 1 ? "leave the folds out" : "leave this fold out");
  return button(words, () => leaveOut(kitchen, folds), { kind: "quiet", key: "leave-out", says: true });
}

export function leaveOut(kitchen, folds) {
  const at = kitchen.now(); // one instant: taken back together
  return kitchen.tell(...folds.map(({ step_id }) => ["left-out", { step_id }, at]));
}
