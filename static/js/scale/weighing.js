// The weigh-out list for another pan, and after an over-pour. The same arithmetic as webapp/core/scale/rounding.py and
// mending.py, to a hundredth of a gram; always from the list as the plan has it, so that saying it twice changes nothing.

export const lineId = (line) => `${line.part}/${line.key}`;

// Yeast and the water it comes in are one thing to weigh, as weighing.as_poured has it. Ticks and over-pours are told of
// the yeast, in its own grams: `share` of what the scale shows.
export function asPoured(lines, planned) {
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
      return { ...line, name: "Yeast water", grams: line.grams + water.grams, weigh_g: line.weigh_g + water.weigh_g, share };
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
  const own = (line) => (line.kind === "preferment" ? ahead_g : hundredth(line.weigh_g * factor));
  // What a preferment or a fine line is off by, the others make up for, by half a step at most; yeast's error is its own.
  const dosed = lines.filter((line) => !open.includes(line) && line.kind !== "yeast");
  const off = dosed.reduce((sum, line) => sum + own(line) - line.grams * factor, 0);
  const exact = open.map((line) => line.grams * factor);
  const total = exact.reduce((sum, grams) => sum + grams, 0) - Math.min(step_g / 2, Math.max(-step_g / 2, off));
  const weights = addUp(exact, total, step_g);
  return lines.map((line) => (open.includes(line) ? weights[open.indexOf(line)] : own(line)));
}

// Yeast is dosed, not rounded to the kitchen scale.
const fine = (line) => line.kind === "yeast" || line.key === "yeast-water";
const hundredth = (grams) => Math.floor(grams * 100 + 0.5) / 100;
const isWhole = (grams, step_g) => Math.abs(grams / step_g - Math.floor(grams / step_g + 0.5)) < 1e-6;

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

// After an over-pour: what cannot be taken out is kept, everything else rises in proportion. `poured` is the state's.
export function mended(lines, poured, step_g) {
  const grams = new Map(poured.map((one) => [one.line, one.grams]));
  const final = lines.filter((line) => line.part === "dough");
  const ahead = lines.filter((line) => line.part !== "dough");
  const made = Math.max(1, ...ahead.map((line) => over(line, grams)));
  const bowl = bowlOf(final, ahead, made);
  const factor = Math.max(made, ...final.map((line) => askedBy(bowl, line, over(line, grams))));
  const grown = lines.map((line) => {
    const times = line.part === "dough" ? grownBy(bowl, line, factor) : made;
    if (times === 1) {
      return line;
    }
    const weigh_g = Math.max(grams.get(lineId(line)) ?? 0, asBefore(line.weigh_g * times, line.weigh_g, step_g));
    return { ...line, grams: line.grams * times, weigh_g };
  });
  return { lines: grown, factor };
}

function over(line, grams) {
  const in_bowl = grams.get(lineId(line)) ?? 0;
  return in_bowl > line.weigh_g ? in_bowl / line.weigh_g : 1;
}

const YEAST_WATER = "yeast-water";
const LEAST_OF_THE_WATER = 0.3; // that must not come with the yeast, for the formula to be kept exactly
const isWater = (line) => line.kind === "water" && line.key !== YEAST_WATER;

// The final dough, what its preferment holds of each ingredient, and how many times as much of that was made. The water
// that yeast comes in is water of the formula wherever it is, and grows with its yeast: both are one figure to weigh.
function bowlOf(final, ahead, made) {
  const held = new Map();
  const water = [...final, ...ahead].find(isWater)?.key ?? YEAST_WATER;
  for (const line of ahead) {
    const key = line.key === YEAST_WATER ? water : line.key;
    held.set(key, (held.get(key) ?? 0) + line.grams);
  }
  const with_yeast_g = final.filter((line) => line.key === YEAST_WATER).reduce((sum, line) => sum + line.grams, 0);
  return { held, made, with_yeast_g, yeast: final.find((line) => line.kind === "yeast"), water_key: final.find(isWater)?.key ?? "" };
}

// How many times the overall formula must grow when `times` this line went in.
function askedBy(bowl, line, times) {
  if (times === 1 || line.kind === "preferment" || (line.key === YEAST_WATER && !bowl.yeast)) {
    return 1;
  }
  if (line.key === YEAST_WATER) {
    return askedBy(bowl, bowl.yeast, times);
  }
  const [inside, beside_g] = [bowl.held.get(line.key) ?? 0, besideOf(bowl, line)];
  const whole = line.grams + beside_g + inside;
  let [fixed, byFactor] = yeastWater(bowl, beside_g);
  if (whole - byFactor < LEAST_OF_THE_WATER * whole) {
    [fixed, byFactor] = [beside_g, 0];
  }
  return (line.grams * times + inside * bowl.made + fixed) / (whole - byFactor);
}

// What this line is multiplied by when the overall formula grows by `factor`.
function grownBy(bowl, line, factor) {
  if (line.kind === "preferment") {
    return bowl.made;
  }
  if (line.key === YEAST_WATER) {
    return bowl.yeast ? grownBy(bowl, bowl.yeast, factor) : factor;
  }
  const [inside, beside_g] = [bowl.held.get(line.key) ?? 0, besideOf(bowl, line)];
  const [fixed, byFactor] = yeastWater(bowl, beside_g);
  const grams = factor * (line.grams + beside_g + inside) - (factor * byFactor + fixed) - bowl.made * inside;
  return Math.max(0, grams) / line.grams;
}

// Water of this line that comes with the yeast.
const besideOf = (bowl, line) => (line.key === bowl.water_key ? bowl.with_yeast_g : 0);

// So much yeast water becomes `byFactor` x factor + `fixed`: it grows as its yeast does, not as the dough.
function yeastWater(bowl, grams) {
  if (!grams || !bowl.yeast) {
    return [0, grams];
  }
  const inside = bowl.held.get(bowl.yeast.key) ?? 0;
  return [(-grams * bowl.made * inside) / bowl.yeast.grams, (grams * (bowl.yeast.grams + inside)) / bowl.yeast.grams];
}

function asBefore(grams, before_g, step_g) {
  const step = isWhole(before_g, step_g) ? step_g : 0.01;
  return Math.floor(grams / step + 0.5) * step;
}
