// The bakes packed in this phone, made the same as on the server: what is new there comes, what is over goes.

import { SENT, eventsOf } from "../lib/log.js";
import { Refused, ask } from "../lib/sync.js";
import { SCHEMA, outdated } from "../state/packed.js";

// What the server has and this phone has not, or has in an older revision, or in the words of another version.
export async function fetchBundles(kitchen, rows, worded, shown, revision) {
  if (kitchen.notes.closed) {
    return; // another window keeps them now
  }
  const at = (row) => (row.bake_id === shown ? Math.max(row.revision, revision) : row.revision); // what was told just now may have made one
  const wanted = rows.filter((row) => !row.dropped_at).map((row) => [row.bake_id, at(row)]);
  const asked = kitchen.wanted && !wanted.some(([id]) => id === kitchen.wanted) ? [[kitchen.wanted, 0]] : [];
  const shownRow = shown && revision && !wanted.some(([id]) => id === shown) ? [[shown, revision]] : [];
  let news = await makeRoom(kitchen);
  const soonest = [...wanted, ...asked, ...shownRow].sort(([a], [b]) => (b === kitchen.wanted) - (a === kitchen.wanted));
  for (const [id, at] of soonest) {
    const have = await kitchen.store.bundle(id).catch(() => kitchen.bakes.get(id)?.bundle);
    if (!have || have.plan.revision < at || have.schema > SCHEMA || have.worded !== worded) {
      const came = await fetchOne(kitchen, id, have);
      news ||= came;
      if (came && id === kitchen.wanted) {
        await kitchen.refresh(); // what was asked for waits for no other
      }
    }
  }
  if (news) {
    await kitchen.refresh();
  }
}

// True when something left the phone.
async function makeRoom(kitchen) {
  const before = await kitchen.store.bundles().catch(() => []);
  const old = outdated(before, [...kitchen.givenUp], kitchen.shown, kitchen.now());
  for (const id of old) {
    await kitchen.store.dropBake(id).catch(() => {});
  }
  return old.length > 0 && (await kitchen.store.bundles().catch(() => before)).length < before.length;
}

async function fetchOne(kitchen, id, have) {
  let bundle = null;
  try {
    bundle = await ask(`/api/bakes/${encodeURIComponent(id)}/bundle`);
  } catch (error) {
    if (error instanceof Refused && error.status === 404) {
      return false;
    }
    throw error;
  }
  if (have && (await eventsOf(kitchen.store, id, true)).some((event) => event.sent === SENT.no)) {
    return false; // what is said here by the plan that is here is told to the server first: it may be what was mixed
  }
  const readable = bundle.schema <= SCHEMA;
  if (have && have.schema <= SCHEMA && !readable) {
    kitchen.note("newer", true); // a plan that can be read is worth more than a newer one that cannot
    return false;
  }
  await kitchen.store.putBundle(bundle).catch(() => kitchen.note("unpacked", true));
  await kitchen.store.addEvents(bundle.events.map((event) => ({ ...event, sent: SENT.yes }))).catch(() => {});
  return readable || !have;
}
