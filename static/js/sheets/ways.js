// What can be done now: the ways from here, each one tap. Opened by a reading that asks for it, and by whoever wants to know.

import { eventData, ways } from "../now/ways.js";
import { el } from "../lib/dom.js";
import { sheet } from "../lib/sheet.js";
import { drawWays } from "../kitchen/ways_list.js";
import { paceWords } from "../kitchen/standing.js";

// `asked`: the ways that a reading found, null when the person asks.
export function open(kitchen, asked) {
  const { bake } = kitchen;
  const found = asked ?? ways(bake.plan, bake.state, kitchen.now());
  if (found.length === 0) {
    kitchen.open("late"); // not mixed yet, or in the oven: only the times can be moved
    return;
  }
  const take = (way) => {
    page.close();
    if (way.kind !== "as-planned") {
      kitchen.tell(["way", eventData(way, true)]);
    }
  };
  const page = sheet(asked ? "What shall we do?" : "What helps", el("p", {}, paceWords(kitchen.retimed.factor)), ...drawWays(kitchen, found, take));
}
