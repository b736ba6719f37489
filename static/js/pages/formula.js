// A formula's sheet: what is typed in grams stands in percent beside it, and the other way round; another unit
// converts all that is typed. Without scripts the server does the same when it is saved.

import { el } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";

const GRAMS = { grams: 1, oz: 28.349523125 };

// Everything that is weighed, in the unit in which it is typed.
class FormulaSheet {
  constructor(form) {
    this.form = form;
    this.amounts = [...form.querySelectorAll("input[name$='-amount']")];
    this.weighed = [...this.amounts, this.field("yeast")];
    this.beside = new Map(this.weighed.map((input) => [input, el("output", { class: "soft", "aria-live": "off" })]));
    this.exact = new Map(); // what a converted field stands for, until something else is typed into it
    this.unit = this.field("unit").value;
    this.flourG = Number(form.dataset.flourG);
  }

  field(name) {
    return this.form.elements.namedItem(name);
  }

  follow() {
    this.beside.forEach((output, input) => input.closest(".field").append(output));
    this.form.addEventListener("input", (event) => {
      this.exact.delete(event.target);
      this.show();
    });
    this.field("unit").addEventListener("change", () => this.convert(this.field("unit").value));
    this.form.addEventListener("change", () => this.show());
    this.show();
  }

  value(input) {
    return this.exact.get(input) ?? typed(input);
  }

  put(input, amount) {
    if (Number.isFinite(amount)) {
      input.value = trimmed(amount, 4);
      this.exact.set(input, amount);
    }
  }

  flour() {
    const isFlour = (input) => this.field(input.name.replace("amount", "kind")).value === "flour";
    return this.amounts.filter(isFlour).reduce((sum, input) => sum + (this.value(input) || 0), 0);
  }

  show() {
    const sum = this.flour();
    if (this.unit !== "percent" && sum > 0) {
      this.flourG = sum * GRAMS[this.unit];
    }
    for (const [input, output] of this.beside) {
      const amount = this.value(input);
      output.textContent = Number.isFinite(amount) ? this.inOther(amount, sum) : "";
    }
  }

  inOther(amount, sum) {
    if (this.unit === "percent") {
      return `= ${trimmed((amount * this.flourG) / 100, 2)} g with ${trimmed(this.flourG, 1)} g of flour`;
    }
    return sum > 0 ? `= ${trimmed((amount * 100) / sum, 2)} % of the flour` : "";
  }

  convert(to) {
    const factor = factorFor(this.unit, to, this.flour(), this.flourG);
    if (factor > 0) {
      const preFlour = this.field("pre_flour");
      const before = this.value(preFlour);
      [...this.weighed, preFlour].forEach((input) => this.put(input, this.value(input) * factor));
      const own = ownFactor(this.unit, to, before, before * factor, factor);
      [this.field("pre_water"), this.field("pre_yeast")].forEach((input) => this.put(input, this.value(input) * own));
      this.unit = to;
    } else {
      this.field("unit").value = this.unit; // no flour yet: nothing to be a percent of
    }
    this.show();
  }
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

const sheet = document.querySelector("[data-formula]");
if (sheet) {
  new FormulaSheet(sheet).follow();
}
