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
  const exact = new Map(); // what a converted field stands for, until something else is typed into it
  let unit = field("unit").value;
  let flourG = Number(form.dataset.flourG);

  const value = (input) => exact.get(input) ?? typed(input);

  function put(input, amount) {
    if (Number.isFinite(amount)) {
      input.value = trimmed(amount, 4);
      exact.set(input, amount);
    }
  }

  const flour = () => amounts.filter((input) => field(input.name.replace("amount", "kind")).value === "flour")
    .reduce((sum, input) => sum + (value(input) || 0), 0);

  function show() {
    const sum = flour();
    if (unit !== "percent" && sum > 0) {
      flourG = sum * GRAMS[unit];
    }
    for (const [input, output] of beside) {
      const amount = value(input);
      output.textContent = Number.isFinite(amount) ? inOther(amount, sum) : "";
    }
  }

  function inOther(amount, sum) {
    if (unit === "percent") {
      return `= ${trimmed((amount * flourG) / 100, 2)} g with ${trimmed(flourG, 1)} g of flour`;
    }
    return sum > 0 ? `= ${trimmed((amount * 100) / sum, 2)} % of the flour` : "";
  }

  function convert(to) {
    const factor = factorFor(unit, to, flour(), flourG);
    if (factor > 0) {
      const preFlour = value(field("pre_flour"));
      [...weighed, field("pre_flour")].forEach((input) => put(input, value(input) * factor));
      const own = ownFactor(unit, to, preFlour, preFlour * factor, factor);
      [field("pre_water"), field("pre_yeast")].forEach((input) => put(input, value(input) * own));
      unit = to;
    } else {
      field("unit").value = unit; // no flour yet: nothing to be a percent of
    }
    show();
  }

  form.addEventListener("input", (event) => {
    exact.delete(event.target);
    show();
  });
  field("unit").addEventListener("change", () => convert(field("unit").value));
  form.addEventListener("change", show);
  show();
}

function typed(input) {
  return input.value.trim() === "" ? NaN : Number(input.value.replace(",", "."));
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
