// The journal's pen: each tap writes one event in one transaction. What cannot be kept is held in memory and tried again.

import { CLOCK_OFF_S, clockMarks, likelyNow, now, wrongBy } from "./clock.js";
import { inTime } from "./store.js";

export const unkept = []; // newest last; storage full or taken away

export const SENT = { no: 0, yes: 1, refused: 2 };

function hexId() {
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

// Writes several events at once, all or none of them; true when the phone keeps them. When the database does not answer
// in time the rows are held here and tried again: the same id is the same row.
export async function write(store, events) {
  const rows = events.map((event) => ({ ...event, sent: SENT.no }));
  try {
    await inTime(store.addEvents(rows));
    return true;
  } catch {
    unkept.push(...rows);
    return false;
  }
}

const LATEST_AT = 7258118400; // the year 2200: the server takes nothing later
const written = new Map(); // bake -> when what this page wrote last was logged

// `logged_at` is the order of saying: never before anything of this bake that this phone knows of, whatever its clock is set
// to meanwhile. So it outlives a closed page and other phones' entries, which were known or are as good as simultaneous.
export function saidNext({ id, events }) {
  const before = Math.max(written.get(id) ?? 0, ...events.map((event) => event.logged_at));
  return Math.min(Math.max(likelyNow(), before + 1), LATEST_AT);
}

export function eventOf(bake, phone, kind, data, at = now()) {
  const logged_at = saidNext(bake);
  written.set(bake.id, logged_at);
  const seen = Math.abs(wrongBy()) >= CLOCK_OFF_S ? { ...data, ...clockMarks() } : data;
  return { event_id: hexId(), bake_id: bake.id, at, logged_at, phone, kind, data: seen, revision: bake.dough };
}

// Try to keep what is only in memory; true when nothing is left there.
export async function keepAgain(store) {
  if (unkept.length === 0) {
    return true;
  }
  const rows = [...unkept];
  try {
    await inTime(store.addEvents(rows));
  } catch {
    return false;
  }
  release((row) => rows.includes(row));
  return unkept.length === 0;
}

// These are kept now: not the first so many, since meanwhile others may have come and gone.
export function release(isKept) {
  unkept.splice(0, unkept.length, ...unkept.filter((row) => !isKept(row)));
}

// The journal of a bake as far as it can be read; where the screen has one already (`known`), a database that hangs is not
// waited for.
export async function eventsOf(store, bake_id, known = false) {
  const kept = await (known ? inTime(store.events(bake_id)) : store.events(bake_id)).catch(() => []);
  const ids = new Set(kept.map((event) => event.event_id));
  return [...kept, ...unkept.filter((event) => event.bake_id === bake_id && !ids.has(event.event_id))];
}
