// The chain of a plan and its two steps that want a rise. Twin of webapp/core/now/marked.py: change both or neither.

export function chainOf(plan) {
  return plan.steps.filter((step) => step.chain);
}

export function pressIndex(chain) {
  for (let i = 0; i < chain.length; i += 1) {
    if (chain[i].mark !== null && chain[i].kind !== "load") {
      return i;
    }
  }
  return -1;
}

export function loadIndex(chain) {
  for (let i = 0; i < chain.length; i += 1) {
    if (chain[i].kind === "load") {
      return i;
    }
  }
  return -1;
}
