// The room is warmer or colder than planned.

import { roomAt, roomPath } from "../core/walk.js";
import { el } from "../lib/dom.js";
import { form, numberField, sheet } from "../lib/sheet.js";

const LEAST_C = -10;
const MOST_C = 60;

export function open(kitchen) {
  const { format } = kitchen;
  const here = roomAt(roomPath(kitchen.bundle.plan.rise.room, kitchen.state.rooms), kitchen.now());
  const { input, field } = numberField("The thermometer in the kitchen says", format.heatUnit, { value: format.heatOut(here), step: "0.5" });
  const send = (complain) => {
    const temp_c = format.heatIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(temp_c >= LEAST_C && temp_c <= MOST_C)) {
      complain(`Give a temperature from ${format.heat(LEAST_C)} to ${format.heat(MOST_C)}.`);
      return;
    }
    page.close();
    kitchen.tell(["room", { temp_c }]);
  };
  const page = sheet(
    "How warm is it where the dough stands?",
    el("p", {}, `The plan thinks ${format.heat(here)} now. From now on the rest of the day keeps its ups and downs, warmer or colder by the difference.`),
    form("That is how warm it is", send, field),
  );
}
