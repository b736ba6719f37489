// Another pan than planned. While the dough is not mixed it is weighed out for that pan; then it stays what it is, and lies
// thicker or thinner. What goes on top follows the pan.

export function plannedArea(plan) {
  return plan.pans.reduce((sum, pan) => sum + pan.area_cm2 * pan.count, 0);
}

function timesOf({ plan }, area_cm2) {
  const planned = plannedArea(plan);
  return area_cm2 && planned ? area_cm2 / planned : 1;
}

export const panFactor = ({ bundle, state }) => timesOf(bundle, state.area_cm2);
export const doughFactor = ({ bundle, state }) => timesOf(bundle, state.mixed_cm2);

const ON_TOP = ["sauce", "top", "serve"];
const AMOUNT = /(^|Stir |Have |into )([\d.]+) (?:g|oz)\b(?: \([\d.]+ g\))?/gm; // grams beside ounces

// Texts are written for the planned pan: another one is named, and told by its floor is what goes on it.
export function forPan(kitchen, step, text) {
  const { bundle, state, format } = kitchen;
  const times = panFactor(kitchen);
  if (times === 1 || !text) {
    return text;
  }
  if (step.kind === "press") {
    const others = text.split("\n").filter((line) => !bundle.plan.pans.some(({ name }) => line.includes(name)));
    return [`Oil the pan well: ${state.pan || "the other one"}.`, ...others].join("\n");
  }
  return ON_TOP.includes(step.kind) ? text.replace(AMOUNT, (_, before, amount) => before + format.grams(format.massIn(Number(amount)) * times)) : text;
}
