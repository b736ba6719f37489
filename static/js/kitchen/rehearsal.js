// The search for ways in vain, while nobody waits for it: a browser makes each function ready when it is first called, which
// costs it more than the search does, and else the first reading, given with floury hands, would wait for that.

import { fold } from "../now/journal.js";
import { ways } from "../now/ways.js";

const HALF_WAY_TIMES = 1.3; // its first volume: slow, so that there is something to find

// Whatever stage this bake is at: its dough half way to the first step that wants a rise, read once.
export function searchOnce(plan) {
  const chain = plan.steps.filter((step) => step.chain);
  const next = chain.findIndex((step) => step.mark);
  if (next < 1) {
    return [];
  }
  const now = Math.trunc((chain[next - 1].end + chain[next].start) / 2);
  const said = (kind, at, data) => ({ event_id: `${kind}${at}`, bake_id: plan.bake_id, at, logged_at: at, phone: "", kind, data });
  const done = chain.slice(0, next).map((step) => said("done", step.end, { step_id: step.step_id }));
  return ways(plan, fold(plan, [...done, said("glass", now, { times: HALF_WAY_TIMES })]), now);
}
