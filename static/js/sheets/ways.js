// What can be done now: the ways from here, each one tap. Opened by a reading that asks for it, and by whoever wants to know.
// They follow the clock while the sheet stands open.

import { eventData, ways } from "../now/ways.js";
import { el } from "../lib/dom.js";
import { preview, sheet } from "../lib/sheet.js";
import { drawWays, sameWay } from "../kitchen/ways_list.js";
import { paceWords } from "../kitchen/standing.js";

// `asked`: the ways that a reading found, null when the person asks.
export function open(kitchen, asked) {
  const now = () => ways(kitchen.bake.plan, kitchen.bake.state, kitchen.now());
  const first = asked ?? now();
  if (first.length === 0) {
    kitchen.open("late"); // not mixed yet, or in the oven: only the times can be moved
    return;
  }
  const { place, show, again } = preview();
  const take = (seen) => {
    const way = now().find((one) => sameWay(one, seen));
    if (!way) {
      again(); // the clock has gone on: what can be done now is shown first
      return;
    }
    page.close();
    kitchen.tell(["way", eventData(way, true)]); // going on too: then no reading asks again
  };
  const page = sheet(asked ? "What shall we do?" : "What helps", place);
  let ready = first; // worked out a moment ago: for the first look
  show(() => {
    const found = ready ?? now();
    ready = null;
    return [el("p", {}, paceWords(kitchen.retimed.factor)), ...drawWays(kitchen, found, take)];
  }, "nearest");
}
