// A thermometer in the dough: from now on the rise is counted from what it says.

import { el } from "../lib/dom.js";
import { observe } from "../state/observed.js";
import { form, heatField, sheet } from "../lib/sheet.js";

const COLDEST_DOUGH_C = -5;
const WARMEST_DOUGH_C = 50;

export function open(kitchen) {
  const { format } = kitchen;
  const { plan } = kitchen.bundle;
  const mixed = kitchen.retimed.place !== "";
  const thought = mixed ? kitchen.retimed.dough_c : plan.rise.dough_c;
  const { field, read } = heatField("The thermometer in the dough says", format, thought, COLDEST_DOUGH_C, WARMEST_DOUGH_C);
  const send = (complain) => {
    const temp_c = read(complain);
    if (temp_c !== null) {
      page.close();
      observe(kitchen, "dough", { temp_c });
    }
  };
  const page = sheet(
    "How warm is the dough?",
    el("p", {}, `${mixed ? "It should be at" : "Mixed, it should come to"} ${format.heat(thought)}. From now on the times follow from what you measured.`),
    form("That is how warm it is", send, field),
    el("p", { class: "soft" }, "Always as much warmer or cooler just after mixing? Change “Mixing warms the dough by” in the settings by that, and the water is right the next time."),
  );
}
