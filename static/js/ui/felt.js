// A thermometer in the dough: from now on the rise is counted from what it says.

import { el } from "../lib/dom.js";
import { form, numberField, sheet } from "../lib/sheet.js";

const LEAST_C = -5;
const MOST_C = 50;

export function open(kitchen) {
  const { format } = kitchen;
  const { plan } = kitchen.bundle;
  const mixed = kitchen.retimed.place !== "";
  const thought = mixed ? kitchen.retimed.dough_c : plan.rise.dough_c;
  const { input, field } = numberField("The thermometer in the dough says", format.heatUnit, { value: format.heatOut(thought), step: "0.5" });
  const send = (complain) => {
    const temp_c = format.heatIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(temp_c >= LEAST_C && temp_c <= MOST_C)) {
      complain(`Give a temperature from ${format.heat(LEAST_C)} to ${format.heat(MOST_C)}.`);
      return;
    }
    page.close();
    kitchen.tell(["dough", { temp_c }]);
  };
  const page = sheet(
    "How warm is the dough?",
    el("p", {}, `${mixed ? "It should be at" : "Mixed, it should come to"} ${format.heat(thought)}. From now on the times are reckoned from what you measured.`),
    form("That is how warm it is", send, field),
    el("p", { class: "soft" }, "Always as much warmer or cooler just after mixing? Change “Mixing warms the dough by” in the settings by that, and the water is right the next time."),
  );
}
