// The weigh-out list for another pan and as it is poured, as weighing.py and as_made.py in webapp/core/scale have it.

import { lineId } from "./mending.js";
import { addUp, isWhole } from "./rounding.js";

// Yeast and the water it comes in are one thing to weigh, a yeast water (`called`), as weighing.as_poured has it. Ticks and over-pours are told of
// the yeast, in its own grams: `share` of what the scale shows.
export function asPoured(lines, planned, called) {
  const inWater = (all, yeast) => (yeast.kind === "yeast" ? all.find((one) => one.key === "yeast-water" && one.part === yeast.part) : undefined);
  return lines
    .filter((line) => line.key !== "yeast-water")
    .map((line) => {
      const water = inWater(lines, line);
      const yeast = planned.find((one) => lineId(one) === lineId(line));
      if (!water) {
        return line;
      }
      const share = yeast.weigh_g / (yeast.weigh_g + inWater(planned, yeast).weigh_g);
      return { ...line, name: called, grams: line.grams + water.grams, weigh_g: line.weigh_g + water.weigh_g, share, yeast_g: line.grams };
    });
}

// Every line for `factor` times the floor, rounded to the scale again so that each part still adds up.
export function rescaled(lines, factor, step_g) {
  if (factor === 1) {
    return lines;
  }
  const parts = [...new Set(lines.map((line) => line.part))];
  const done = new Map();
  let ahead_g = 0;
  for (const part of parts) {
    const own = lines.filter((line) => line.part === part);
    const weights = rescaledPart(own, factor, step_g, ahead_g);
    own.forEach((line, i) => done.set(line, weights[i]));
    ahead_g += part === "dough" ? 0 : weights.reduce((sum, grams) => sum + grams, 0);
  }
  return lines.map((line) => ({ ...line, grams: line.grams * factor, weigh_g: done.get(line) }));
}

function rescaledPart(lines, factor, step_g, ahead_g) {
  const open = lines.filter((line) => isWhole(line.weigh_g, step_g) && line.kind !== "preferment" && !fine(line));
  const dosed = doseFactor(lines.filter(fine), factor);
  const own = (line) => (line.kind === "preferment" ? ahead_g : hundredth(line.weigh_g * (fine(line) ? dosed : factor)));
  // What a preferment or a fine line is off by, the others make up for, by half a step at most; yeast's error is its own.
  const given = lines.filter((line) => !open.includes(line) && line.kind !== "yeast");
  const off = given.reduce((sum, line) => sum + own(line) - line.grams * factor, 0);
  const exact = open.map((line) => line.grams * factor);
  const total = exact.reduce((sum, grams) => sum + grams, 0) - Math.min(step_g / 2, Math.max(-step_g / 2, off));
  const weights = addUp(exact, total, step_g);
  return lines.map((line) => (open.includes(line) ? weights[open.indexOf(line)] : own(line)));
}

// How many times as much of a dose, or of all of a yeast water: what its scale can show of what would be exact.
function doseFactor(lines, factor) {
  const { dosing, grams, weigh_g } = lines.find((line) => line.dosing) ?? {};
  const [step_g, exact] = [dosing?.step_g ?? 0, dosing ? (factor * grams) / weigh_g : factor];
  const all = lines.reduce((sum, line) => sum + line.weigh_g, 0);
  return step_g > 0 ? (Math.max(1, Math.floor((all * exact) / step_g + 0.5)) * step_g) / all : exact;
}

// Yeast is dosed, not rounded to the kitchen scale.
const fine = (line) => line.kind === "yeast" || line.key === "yeast-water";
const hundredth = (grams) => Math.floor(grams * 100 + 0.5) / 100;
