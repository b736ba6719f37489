// Something was seen of the dough or the room. It is written down; then the ways from here are worked out, and the best one is
// taken at once when supper hardly moves by it. When it does, the person is asked.

import { fold } from "../now/journal.js";
import { eventData } from "../now/taken.js";
import { ways } from "../now/ways.js";
import { say } from "../lib/dom.js";
import { doWords } from "../lib/labels.js";

// `item`: [kind, data] of the reading.
export async function observe(kitchen, ...item) {
  const { shown } = kitchen;
  const told = await kitchen.tell(item);
  const { bake } = kitchen; // not the one of before: its bundle may have come anew meanwhile
  if (kitchen.shown !== shown || !bake?.readable) {
    return;
  }
  // A journal that was being read meanwhile may not hold what was told yet.
  const found = ways(bake.plan, fold(bake.plan, [...bake.events, ...told]), kitchen.now());
  const other = found.length > 0 && found[0].kind !== "as-planned";
  if (found[0]?.asks && (other || found.length > 1)) {
    kitchen.open("ways", found);
  } else if (other && !found[0].asks) {
    await kitchen.tell(["way", eventData(found[0], false)]);
    say(kitchen.phrase("changed", { way: doWords(kitchen, found[0]) }));
  }
}
