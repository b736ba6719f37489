// Mending an over-pour. Twin of webapp/core/scale/mending.py, to a hundredth of a gram; always from the list as the plan has
// it, so that saying it twice changes nothing.

import { isWhole } from "./rounding.js";

// What a journal calls a line: "part/key".
export const lineId = (line) => `${line.part}/${line.key}`;

// After an over-pour: what cannot be taken out stays in, everything else rises in proportion. `poured` is the state's: of
// what is `kept` in it what is in stays, and no other line grows for it.
export function mended(lines, poured, step_g) {
  const grams = new Map(poured.map((one) => [one.line, one.grams]));
  const asks = new Map(poured.filter((one) => !one.kept).map((one) => [one.line, one.grams]));
  const final = lines.filter((line) => line.part === "dough");
  const ahead = lines.filter((line) => line.part !== "dough");
  const made = Math.max(1, ...ahead.map((line) => over(line, asks)));
  const bowl = bowlOf(final, ahead, made);
  const factor = Math.max(made, ...final.map((line) => askedBy(bowl, line, over(line, asks))));
  const grown = lines.map((line) => {
    const times = line.part === "dough" ? grownBy(bowl, line, factor) : made;
    const in_bowl = grams.get(lineId(line)) ?? 0;
    if (times === 1) {
      return in_bowl > line.weigh_g ? { ...line, weigh_g: in_bowl } : line;
    }
    const weigh_g = Math.max(in_bowl, asBefore(dueG(line) * times, line.weigh_g, step_g));
    return { ...line, grams: line.grams * times, weigh_g };
  });
  return { lines: grown, factor };
}

// Percent of flour that is lived with (webapp/core/scale/mending.py says where from).
export const LIVED = { salt: 3.2, fat: 10 };
export const MOST = { salt: 4.5, fat: 40 }; // where a dough ends (webapp/core/formula/check.py)

// What is of this kind in percent of the flour, with these grams of some lines in the bowl (a map by line); no number without.
export function percentOf(kind, lines, told) {
  let some = 0;
  let flour = 0;
  for (const line of lines) {
    some += line.kind === kind ? told?.get(lineId(line)) ?? line.grams : 0;
    flour += line.kind === "flour" ? line.grams : 0;
  }
  return (100 * some) / flour;
}

function over(line, grams) {
  const in_bowl = grams.get(lineId(line)) ?? 0;
  return line.grams && in_bowl > line.weigh_g ? Math.max(1, in_bowl / line.grams) : 1;
}

// What the formula wants of this line: a rounding is not grown.
const dueG = (line) => (line.kind === "preferment" ? line.weigh_g : line.grams);

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
  return { held, made, with_yeast_g, yeast: final.find((line) => line.kind === "yeast" && line.grams), water_key: final.find(isWater)?.key ?? "" };
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
  return line.grams ? Math.max(0, grams) / line.grams : 1;
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
