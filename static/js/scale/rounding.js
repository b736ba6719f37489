// Rounding a list of weights to a scale so that it still adds up. Twin of webapp/core/scale/rounding.py.

// Each rounded to the step; odd steps go to those rounded the other way first, then to the heaviest.
export function addUp(exact, total, step) {
  const units = exact.map((grams) => (grams > 0 ? Math.max(1, Math.floor(grams / step + 0.5)) : 0));
  const missing = Math.floor(total / step + 0.5) - units.reduce((sum, one) => sum + one, 0);
  const way = missing > 0 ? 1 : -1;
  const away = (i) => (way * (units[i] - exact[i] / step) > -1e-9 ? 1 : 0);
  const mayMove = exact.map((_, i) => i).filter((i) => units[i] > 1 || (way > 0 && units[i] > 0));
  const order = mayMove.map((i) => [away(i), -exact[i], i]);
  order.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]);
  for (const [, , i] of order.slice(0, Math.abs(missing))) {
    units[i] += way;
  }
  return units.map((one) => one * step);
}

// Does the scale's step make up this weight?
export const isWhole = (grams, step_g) => Math.abs(grams / step_g - Math.floor(grams / step_g + 0.5)) < 1e-6;
