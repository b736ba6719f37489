// Phone and server join their journals: a set union, so that a repeated or lost request changes nothing. Asked after
// each tap, on `online`, when the screen becomes visible and each minute; never by navigator.onLine, which stays true
// when only the server is gone.

import { CLOCK_OFF_S, compare, offThen, rawNow, wrongBy } from "./clock.js";
import { SENT } from "./log.js";
import { settle, unsentEvents } from "./sent.js";

const AT_ONCE = 100;
const SERVER_PATIENCE_MS = 15000;

export class Refused extends Error {
  constructor(status, errors) {
    super(`the server answered ${status}`);
    this.status = status;
    this.errors = errors;
  }
}

// One request; throws Refused for an answer that is no, anything else when there was no answer.
export async function ask(path, body = null) {
  const [asked, began] = [rawNow(), performance.now()];
  const options = body === null ? {} : { method: "POST", headers: { "Content-Type": "application/json" } };
  const response = await fetch(path, {
    ...options,
    body: body === null ? undefined : JSON.stringify(body),
    credentials: "same-origin",
    cache: "no-store",
    redirect: "error",
    signal: AbortSignal.timeout?.(SERVER_PATIENCE_MS),
  });
  const answer = await response.json();
  if (!response.ok) {
    throw new Refused(response.status, answer.errors ?? []);
  }
  const wasSet = Math.abs(rawNow() - asked - (performance.now() - began) / 1000) > 1; // the clock, while it was waited for
  if (typeof answer.served_at === "number" && !wasSet) {
    compare(answer.served_at, asked, rawNow());
  }
  return answer;
}

// Everything unsent of every bake, then the journal of the bake on the screen. `gone`: those
// that the server does not know; `refused`: its answer to what it
// did not take of one.
export async function exchange(store, shown) {
  const unsent = (await unsentEvents(store)).map(bySaidClock);
  const bakes = new Set([...unsent.map((event) => event.bake_id), ...(shown ? [shown] : [])]);
  const out = { changed: false, revision: 0, gone: [], refused: null };
  for (const bake of bakes) {
    try {
      const answer = await exchangeOne(store, bake, unsent.filter((event) => event.bake_id === bake));
      out.changed = (await takeIn(store, answer.events)) || out.changed;
      out.revision = bake === shown ? answer.revision : out.revision;
    } catch (error) {
      if (!(error instanceof Refused)) {
        throw error;
      }
      if (error.status === 404) {
        out.gone.push(bake);
      } else {
        out.refused = error; // of one bake: the others go on
      }
    }
  }
  return out;
}

// What was said with no server heard, by a clock of which by now it is known how wrong it was.
function bySaidClock(event) {
  const { clock_off_s, clock_unsure, ...data } = event.data;
  const [off, sure] = clock_off_s === undefined ? [wrongBy(), true] : offThen(event.data);
  return sure ? { ...event, data: Math.abs(off) < CLOCK_OFF_S ? data : { ...data, clock_off_s: Math.round(off) } } : event;
}

// The journal of one bake as the server has it.
export async function catchUp(store, bake) {
  const answer = await ask(`/api/bakes/${encodeURIComponent(bake)}/events`);
  await takeIn(store, answer.events);
}

async function exchangeOne(store, bake, unsent) {
  const path = `/api/bakes/${encodeURIComponent(bake)}/events`;
  let answer = null;
  for (let i = 0; i < unsent.length; i += AT_ONCE) {
    answer = (await send(store, path, unsent.slice(i, i + AT_ONCE))) ?? answer;
  }
  return answer ?? ask(path);
}

// An event that the server will never take must not hold up the others: it is set aside, and stays on the phone.
async function send(store, path, rows) {
  try {
    const answer = await ask(path, { events: rows.map(({ sent: _, ...event }) => event) });
    await settle(store, rows, SENT.yes);
    return answer;
  } catch (error) {
    const bad = error instanceof Refused && [400, 413, 422].includes(error.status) ? wrongRows(error.errors, rows) : [];
    if (bad.length === 0) {
      throw error;
    }
    await settle(store, bad, SENT.refused);
    const good = rows.filter((row) => !bad.includes(row));
    return good.length > 0 ? send(store, path, good) : null;
  }
}

function wrongRows(errors, rows) {
  const named = errors.map((one) => /^events\.(\d+)/.exec(one.field ?? "")?.[1]);
  return [...new Set(named.filter((n) => n !== undefined))].map((n) => rows[Number(n)]).filter(Boolean);
}

async function takeIn(store, events) {
  const known = new Map();
  for (const bake of new Set(events.map((event) => event.bake_id))) {
    (await store.events(bake).catch(() => [])).forEach((event) => known.set(event.event_id, event.sent));
  }
  const news = events.filter((event) => known.get(event.event_id) !== SENT.yes);
  if (news.length > 0) {
    await settle(store, news, SENT.yes);
  }
  return news.some((event) => !known.has(event.event_id));
}
