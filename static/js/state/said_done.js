// A step is said to be done. What would move the whole day is asked about first.

const EARLY_S = 3 * 3600;

// `at`: when it was done, null = now.
export function sayDone(kitchen, step, at = null) {
  const timed = kitchen.retimed.steps.find((one) => one.step_id === step.step_id);
  if ((step.chain || step.kind === "preheat") && timed.status === "open" && timed.start - (at ?? kitchen.now()) > EARLY_S) {
    kitchen.open("early", { step, at });
  } else {
    kitchen.tell(["done", { step_id: step.step_id }, at ?? kitchen.now()]);
  }
}
