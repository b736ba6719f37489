// The room is warmer or colder than planned.

import { roomAt, roomPath } from "../now/walk.js";
import { el } from "../lib/dom.js";
import { observe } from "../state/observed.js";
import { form, heatField, sheet } from "../lib/sheet.js";

const COLDEST_ROOM_C = -10;
const WARMEST_ROOM_C = 60;

export function open(kitchen) {
  const { format } = kitchen;
  const here = roomAt(roomPath(kitchen.bundle.plan.rise.room, kitchen.state.rooms), kitchen.now());
  const { field, read } = heatField("The thermometer in the kitchen says", format, here, COLDEST_ROOM_C, WARMEST_ROOM_C);
  const send = (complain) => {
    const temp_c = read(complain);
    if (temp_c !== null) {
      page.close();
      observe(kitchen, "room", { temp_c });
    }
  };
  const page = sheet(
    "How warm is it where the dough stands?",
    el("p", {}, `The plan thinks ${format.heat(here)} now. From now on the rest of the day keeps its ups and downs, warmer or colder by the difference.`),
    form("That is how warm it is", send, field),
  );
}
