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

// A text with slots, "{all}" or "{g:12.5}", of which `say` knows what stands there.
export const filled = (text, say) => text.replace(/\{(\w+)(?::([\d.e-]+))?\}/g, (_, slot, number) => say[slot](Number(number)));

// What a step says, its `text`, what stands `beside` its list, or what is to be done `first`. Texts are written for the planned
// pan: another one is named, and told by its floor is what goes on it.
export function forPan(kitchen, step, which) {
  const { state, format } = kitchen;
  const times = panFactor(kitchen);
  const whose = which === "first" ? "" : (step.whose ?? "");
  if (times === 1 || !step.other_pan) {
    return `${step[which] ?? ""}${whose}`;
  }
  return filled(step.other_pan[which], { pan: () => state.pan || kitchen.phrase("the other one"), g: (grams) => format.grams(grams * times) }) + whose;
}
