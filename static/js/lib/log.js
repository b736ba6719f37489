// The journal's pen: each tap writes one event in one transaction. What cannot be kept is held in memory and tried again.

import { now } from "./clock.js";

export const unkept = []; // newest last; storage full or taken away

export const SENT = { no: 0, yes: 1, refused: 2 };

export function hexId() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

// This phone's random name, made once.
export async function phoneId(store) {
  const known = await store.meta("phone").catch(() => undefined);
  if (known) {
    return known;
  }
  const made = hexId();
  await store.setMeta("phone", made).catch(() => {});
  return made;
}

const PATIENCE_MS = 3000;

// Writes several events at once, all or none of them; true when the phone keeps them. A database that does not answer is
// waited for a moment, then the rows are held here and tried again: the same id is the same row.
export async function write(store, events) {
  const rows = events.map((event) => ({ ...event, sent: SENT.no }));
  let timer = 0;
  const slow = new Promise((_, reject) => {
    timer = setTimeout(reject, PATIENCE_MS);
  });
  try {
    await Promise.race([store.addEvents(rows), slow]);
    return true;
  } catch {
    unkept.push(...rows);
    return false;
  } finally {
    clearTimeout(timer);
  }
}

export function eventOf(bake_id, phone, kind, data, at = now()) {
  return { event_id: hexId(), bake_id, at, logged_at: now(), phone, kind, data };
}

// Try to keep what is only in memory; true when nothing is left there.
export async function keepAgain(store) {
  if (unkept.length === 0) {
    return true;
  }
  const rows = [...unkept];
  try {
    await store.addEvents(rows);
  } catch {
    return false;
  }
  unkept.splice(0, rows.length);
  return true;
}

// The journal of a bake; `known` is what the screen has, for when the database cannot be read just now.
export async function eventsOf(store, bake_id, known = []) {
  const kept = await store.events(bake_id).catch(() => known);
  const ids = new Set(kept.map((event) => event.event_id));
  return [...kept, ...unkept.filter((event) => event.bake_id === bake_id && !ids.has(event.event_id))];
}
