// Which of the bakes packed in this phone is on.

export const SCHEMA = 1; // of bundles that this version can read

const OVER_S = 4 * 3600;

// The one asked for; else the one whose supper comes next (or was just now); else the last.
export function pickBundle(bundles, id, now) {
  const sorted = [...bundles].sort((a, b) => a.plan.supper - b.plan.supper);
  if (id) {
    return sorted.find((bundle) => bundle.plan.bake_id === id) ?? null;
  }
  return sorted.find((bundle) => bundle.plan.supper > now - OVER_S) ?? sorted[sorted.length - 1] ?? null;
}
