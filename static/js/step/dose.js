// How a line is weighed for so many times the dough as planned, and how sure a dose then is.

import { trimmed } from "../lib/format.js";

const SURE = / ?\b(?:(?:Right to within|Near enough|That (?:is|may)|Or)\b[^.]*\.|More exact:.*)/g; // of the planned dose

export function noteOf({ format }, line, target, times) {
  const { dosing, note } = line;
  if (times === 1 || !note) {
    return note;
  }
  const spoons = (line.teaspoons || dosing?.teaspoons) * times;
  const amount = dosing?.take_g ? /[\d.]+ (?:g|oz)(?= of it goes in)/ : /[\d.]+ (?:g|oz)\b/g;
  const more = (said) => (said.endsWith(format.massUnit) ? format.grams(format.massIn(parseFloat(said)) * times) : `${trimmed(parseFloat(said) * times, 2)} g`);
  const grams = (said) => (dosing ? format.grams(target) : more(said)); // a fine scale shows grams beside one of ounces
  const words = note.replace(SURE, "").replace(/(?:\d+ tbsp \+ )?\d[\d /]* tb?sp/, spoonsWords(spoons)).replace(amount, grams);
  return dosing && dosing.kind !== "none" ? `${words}${glassesWords(dosing, target)} That may be off by ${errorOf(line, target, spoons)} %.` : words;
}

function glassesWords({ stock_yeast_g, stock_water_g, part_g, more_water_g }, target) {
  const glasses = Math.ceil(target / (part_g ? part_g + more_water_g : stock_yeast_g + stock_water_g));
  return stock_yeast_g && glasses > 1 ? ` Stir all that ${glasses} times.` : "";
}

// What the plan says of its own, with half a step of the scale on another weight and what rounding adds (core/scale/dosing.py).
function errorOf({ dosing, grams, yeast_g = grams, share = 1 }, target, spoons) {
  const half = dosing.step_g / 2;
  const given = dosing.kind === "spoon" ? eighthsOf(spoons) / 8 / spoons : (target * share) / yeast_g;
  const more = Math.max(half / target, Math.abs(given - 1)) - half / (dosing.take_g || dosing.yeast_g);
  return Math.max(1, Math.floor(dosing.error_percent + more * 100 + 0.5));
}

const eighthsOf = (teaspoons) => Math.max(1, Math.floor(teaspoons * 8 + 0.5));

// "1 3/4 tsp": level spoons, in eighths.
function spoonsWords(teaspoons) {
  const eighths = eighthsOf(teaspoons);
  const of = [1, 8, 4, 8, 2, 8, 4, 8][eighths % 8];
  return [Math.trunc(eighths / 8) || "", of > 1 && `${((eighths % 8) * of) / 8}/${of}`, "tsp"].filter(Boolean).join(" ");
}
