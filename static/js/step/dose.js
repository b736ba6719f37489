// How a line is weighed for so many times the dough as planned, and how sure a dose then is.

import { duration, five, trimmed } from "../lib/format.js";
import { filled } from "./other_pan.js";

// A bundle of before there were slots says no amounts but the big ones, and that the rest comes when it is packed anew.
export function noteOf(kitchen, line, target, times) {
  const { format } = kitchen;
  const { dosing } = line;
  if (times === 1 || !line.other_pan) {
    return times === 1 || !saysAmounts(line) ? line.note : kitchen.phrase("how to weigh it comes later");
  }
  const spoons = line.teaspoons * times || (dosing?.teaspoons * target) / dosing?.yeast_g;
  const g = (grams) => format.grams(grams * times);
  const fine = (grams) => `${trimmed(grams * times, 2)} g`;
  const words = filled(line.other_pan, { all: () => format.grams(target), spoons: () => spoonsWords(spoons), g, fine });
  return dosing && dosing.kind !== "none" ? `${words}${glassesWords(kitchen, dosing, target)} ${sureOf(kitchen, dosing, errorOf(line, target, times, spoons))}` : words;
}

// As far as such a bundle tells: the warmth of the water is the same for every pan.
const saysAmounts = ({ note, dosing, teaspoons, brine, ice_g, weighed_by }) => note && (dosing || teaspoons || brine || ice_g || weighed_by === "fine");

function glassesWords(kitchen, { stock_yeast_g, stock_water_g, part_g, more_water_g }, target) {
  const glasses = Math.ceil(target / (part_g ? part_g + more_water_g : stock_yeast_g + stock_water_g));
  return stock_yeast_g && glasses > 1 ? ` ${kitchen.phrase("stir so often", { glasses })}` : "";
}

// `_error_percent` of core/scale/as_made.py: half a step of the scale on another weight and what rounding adds, in place of what they were.
function errorOf({ dosing, grams, yeast_g = grams, share = 1 }, target, times, spoons) {
  const off = (take, given) => Math.max(dosing.step_g / 2 / take, Math.abs(given / yeast_g - 1));
  const rounded = dosing.kind === "spoon" ? eighthsOf(spoons) / 8 / spoons : 1;
  return dosing.error_percent + 100 * (off(target, rounded * target * share) - off(dosing.take_g || dosing.yeast_g, dosing.yeast_g * times));
}

// `sure_words` of webapp/words/plan/weights.py: that supper holds, or what it may do to the time.
const UNSEEN_PERCENT = 2;
const EXACT_PERCENT = 10;
const N = 0.6; // of core/rise/pace.py

export function sureOf({ words: { help }, bundle: { plan } }, { forgiven_percent }, percent) {
  const press = plan.steps.find((step) => step.kind === "press");
  const off_s = five((press.start - plan.rise.mixed_at) * ((1 - Math.min(percent, 90) / 100) ** -N - 1));
  const near = percent > UNSEEN_PERCENT && percent <= forgiven_percent;
  const key = off_s > 300 ? (near ? "near-off" : "off-time") : near ? "near" : percent <= EXACT_PERCENT ? "exact" : "off";
  return help[`sure-${key}`]?.replace("{off}", duration(off_s)).replace("{percent}", trimmed(percent, 0)) ?? "";
}

// `level` of webapp/core/scale/measures.py: eighths up to a teaspoon, quarters up to a tablespoon, halves above.
function eighthsOf(teaspoons) {
  const step = teaspoons < 1 ? 1 : teaspoons < 3 ? 2 : 4;
  return Math.max(1, Math.floor((teaspoons * 8) / step + 0.5) * step);
}

// "1 tbsp + 1 3/4 tsp", "1/4 + 1/8 tsp": as `spoons_words` of webapp/words/plan/weights.py has them.
function spoonsWords(teaspoons) {
  const [tbsp, eighths] = [Math.trunc(eighthsOf(teaspoons) / 24), eighthsOf(teaspoons) % 24];
  const part = ["", "1/8", "1/4", "1/4 + 1/8", "1/2", "1/2 + 1/8", "3/4", "3/4 + 1/8"][eighths % 8];
  const spaced = (...words) => words.filter(Boolean).join(" ");
  const tsp = eighths && spaced(Math.trunc(eighths / 8), part, "tsp");
  return spaced(tbsp && spaced(tbsp, "tbsp"), tbsp && tsp && "+", tsp);
}
