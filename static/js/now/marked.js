// The chain of a plan and its two steps that want a rise. Twin of webapp/core/now/marked.py: change both or neither.

export const IN_OVEN = ["lift", "turn-down", "check", "turn"];

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

export function loadingOf(chain, i) {
  if (!IN_OVEN.includes(chain[i].kind) || chain[i].presence === "none") {
    return -1;
  }
  for (let back = 0; back < i; back += 1) {
    if (chain[i - 1 - back].kind === "load") {
      return i - 1 - back;
    }
  }
  return -1;
}
