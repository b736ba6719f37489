// The dough that was mixed on this phone and that another phone gave no use: no screen shows it any more.

import { undoneIds } from "../plan/undone.js";

// When it was mixed, and the entries that took that back; none, once they were read. Only a dough of another plan than is shown: else
// the step itself tells.
export function unusedHere({ bake: { events, dough }, phone, notes }) {
  const undone = undoneIds(events);
  const mixed = events.filter((one) => one.kind === "done" && one.phone === phone && one.revision > 0 && one.revision !== dough && undone.includes(one.event_id));
  const isUnread = (one) => one.kind === "undo" && one.phone !== phone && ![...undone, ...notes.read].includes(one.event_id);
  return { at: mixed[0]?.at, back: events.filter((one) => isUnread(one) && mixed.some(({ event_id }) => event_id === one.data.event_id)) };
}
