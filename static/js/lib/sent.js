// What the server has of the journal, and what still waits in this phone.

import { SENT, release, unkept } from "./log.js";
import { inTime } from "./store.js";

export async function unsentEvents(store) {
  const kept = await inTime(store.unsent()).catch(() => []);
  const ids = new Set(kept.map((event) => event.event_id));
  return [...kept, ...unkept.filter((event) => event.sent === SENT.no && !ids.has(event.event_id))];
}

// What the server answered for: joined to the phone's own. Rows only in memory stay there until they can be kept.
export async function settle(store, rows, sent) {
  const settled = rows.map((event) => ({ ...event, sent }));
  try {
    await store.addEvents(settled);
    const ids = new Set(rows.map((event) => event.event_id));
    release((event) => ids.has(event.event_id));
  } catch {
    for (const row of settled) {
      const held = unkept.find((event) => event.event_id === row.event_id);
      if (held) {
        held.sent = sent;
      } else {
        unkept.push(row);
      }
    }
  }
}
