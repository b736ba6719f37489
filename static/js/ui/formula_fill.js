// A formula's sheet: what is typed in grams stands in percent beside it, and the other way round; another unit
// converts all that is typed. Without scripts the server does the same when it is saved.

import { el } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";

const GRAMS = { grams: 1, oz: 28.349523125 };

const sheet = document.querySelector("[data-formula]");
if (sheet) {
  follow(sheet);
}

function follow(form) {
  const field = (name) => form.elements.namedItem(name);
  const amounts = [...form.querySelectorAll("input[name$='-amount']")];
  const weighed = [...amounts, field("yeast")];
  const beside = new Map(weighed.map((input) => [input, el("output", { class: "soft", "aria-live": "off" })]));
  beside.forEach((output, input) => input.closest(".field").append(output));
  let unit = field("unit").value;
  let flourG = Number(form.dataset.flourG);

  const flour = () => amounts.filter((input) => field(input.name.replace("amount", "kind")).value === "flour")
    .reduce((sum, input) => sum + (typed(input) || 0), 0);

  function show() {
    const sum = flour();
    if (unit !== "percent" && sum > 0) {
      flourG = sum * GRAMS[unit];
    }
    for (const [input, output] of beside) {
      const value = typed(input);
      output.textContent = Number.isFinite(value) ? inOther(value, sum) : "";
    }
  }

  function inOther(value, sum) {
    if (unit === "percent") {
      return `= ${trimmed((value * flourG) / 100, 2)} g with ${trimmed(flourG, 1)} g of flour`;
    }
    return sum > 0 ? `= ${trimmed((value * 100) / sum, 2)} % of the flour` : "";
  }

  function convert(to) {
    const factor = factorFor(unit, to, flour(), flourG);
    if (factor > 0) {
      const preFlour = typed(field("pre_flour"));
      [...weighed, field("pre_flour")].forEach((input) => put(input, typed(input) * factor));
      const own = ownFactor(unit, to, preFlour, preFlour * factor, factor);
      [field("pre_water"), field("pre_yeast")].forEach((input) => put(input, typed(input) * own));
      unit = to;
    } else {
      field("unit").value = unit; // no flour yet: nothing to be a percent of
    }
    show();
  }

  form.addEventListener("input", show);
  field("unit").addEventListener("change", () => convert(field("unit").value));
  form.addEventListener("change", show);
  show();
}

const typed = (input) => (input.value.trim() === "" ? NaN : Number(input.value.replace(",", ".")));

function put(input, value) {
  if (Number.isFinite(value)) {
    input.value = trimmed(value, 4);
  }
}

// What every amount is multiplied by.
function factorFor(from, to, sum, flourG) {
  if (from === to) {
    return 1;
  }
  if (from === "percent") {
    return flourG / 100 / GRAMS[to];
  }
  return to === "percent" ? 100 / sum || 0 : GRAMS[from] / GRAMS[to];
}

// The same for the water and yeast of a preferment, percent of its own flour.
function ownFactor(from, to, flourBefore, flourAfter, factor) {
  if (from === "percent" && to !== "percent") {
    return flourAfter / 100;
  }
  return to === "percent" && from !== "percent" ? 100 / flourBefore : factor;
}
