// How long what is perishable is out of the fridge, by the times things really had. Twin of webapp/core/now/fridge_clock.py:
// change both or neither. Limits: 2 h, or 1 h above 32 C (USDA FSIS); a dough with milk or egg by the same, all its time together.

import { inPlanOrder } from "./along.js";
import { timeChain } from "./chain.js";
import { placeAfter } from "./marked.js";
import { roomPath } from "../plan/rise.js";

const OUT_LIMIT_S = 2 * 3600;
const HOT_LIMIT_S = 3600;
const HOT_ROOM_C = 32;
export const DOUGH = ""; // no topping has this key

// How long something is out of the fridge, against its limit: an hour if the room gets above 32 C meanwhile. Where it gets
// hot later, the hour is counted from `out_at` all the same, but never ends before the heat.
function timeOut(out_at, until, room) {
  const limit_at = out_at + OUT_LIMIT_S;
  const hot_at = firstHot(out_at, until < limit_at ? until : limit_at, room);
  const hour = out_at + HOT_LIMIT_S;
  const use_by = hot_at === null ? limit_at : hot_at > hour ? hot_at : hour;
  const seconds = until > out_at ? until - out_at : 0;
  return { seconds, limit_s: use_by - out_at, use_by, over: seconds > use_by - out_at };
}

// The first instant from `start` on and before `end` at which the room is above 32 C, or null.
function firstHot(start, end, room) {
  for (let i = 0; i < room.length; i += 1) {
    const begins = i > 0 || room[i].start < start ? room[i].start : start;
    const last = end > room[i].start ? end : room[i].start;
    const ends = i + 1 < room.length ? room[i + 1].start : last;
    if (room[i].temp_c > HOT_ROOM_C && begins < end && ends > start) {
      return begins > start ? begins : start;
    }
  }
  return null;
}

// The dough where it perishes and every perishable topping that goes into the oven, by the steps' real starts:
// {key, name, out_at, until, seconds, limit_s, use_by, over, had_s, on_tray, load}. `now` is null when the last load is in.
function perishing(plan, starts, now, room, state, settled) {
  const load = startOf(plan.steps, starts, "load");
  if (load === null) {
    return [];
  }
  const until = now !== null && now > load ? now : load;
  const waiting = trays(plan, settled);
  const inBowl = waiting.length === 0 || plan.steps.some((step) => step.kind === "top" && !settled.includes(step));
  const out = dough(plan, starts, state, until, now, room);
  let first = null;
  for (const topping of plan.toppings) {
    if (topping.perishable && topping.when === "before") {
      const { key, name } = topping;
      const out_at = leftFridge(plan, starts, topping, load);
      if (inBowl) {
        out.push({ key, name, out_at, until, ...timeOut(out_at, until, room), had_s: now === null ? 0 : Math.max(0, now - out_at) });
      }
      first = first === null || out_at < first.out_at ? { key, name, out_at } : first;
    }
  }
  if (first !== null && waiting.length > 0) {
    out.push(onTray(first, waiting, starts, state, now, room));
  }
  return first !== null ? [...out, ...tooLateIn(first, trays(plan, settled, true), starts, state, room)] : out;
}

// [topping, loading] of each tray that is topped and waits for the oven, or went into it.
function trays(plan, settled, loaded = false) {
  const over = (kind, is) => plan.steps.filter((step) => step.kind === kind && settled.includes(step) === is);
  return over("top", true).flatMap((top) => over("load", loaded).filter((load) => load.load === top.load).map((load) => [top, load]));
}

// What went into the oven after its limit, each tray by itself: baking does not make it good again.
function tooLateIn(first, loaded, starts, state, room) {
  const found = loaded.map((tray) => [tray[1].load, onTray(first, [tray], starts, state, null, room)]);
  return found.filter(([, one]) => one.over).map(([load, one]) => ({ ...one, had_s: one.seconds, load }));
}

// What lies on trays that wait: out since it left the fridge, but for the time that the tray is in there.
function onTray({ key, name, out_at }, waiting, starts, state, now, room) {
  const topped = Math.max(...waiting.map(([top]) => starts[top.step_id] + top.end - top.start));
  const until = Math.max(now ?? 0, ...waiting.map(([, load]) => starts[load.step_id]));
  const found = [[out_at, false]];
  state.moves.forEach((move) => move.at >= topped && putIn(found, [move.at, move.place === "fridge"]));
  return { ...counted(key, name, spansOut(found, until), until, now, room), on_tray: true };
}

// The dough, when it has milk or egg in it; nothing for any other.
function dough(plan, starts, state, until, now, room) {
  if (!plan.dough_perishes) {
    return [];
  }
  return [counted(DOUGH, "", spansOut(marks(plan, starts, state), until), until, now, room)];
}

// All these stretches together, against the limit: an hour when it is above 32 C in any of them.
function counted(key, name, spans, until, now, room) {
  let seconds = 0;
  let had_s = 0;
  let hot = false;
  for (const [start, end] of spans) {
    seconds += end - start;
    had_s += now === null ? 0 : Math.max(0, Math.min(end, now) - start);
    hot = hot || firstHot(start, end, room) !== null;
  }
  const limit_s = hot ? HOT_LIMIT_S : OUT_LIMIT_S;
  const out_at = until - seconds;
  return { key, name, out_at, until, seconds, limit_s, use_by: out_at + limit_s, over: seconds > limit_s, had_s };
}

// [instant, is it cold from then on], by time: every hand on the dough takes it out, from mixing on.
function marks(plan, starts, state) {
  const found = [];
  for (const step of plan.steps) {
    if (step.kind === "mix" || (step.chain && found.length > 0 && step.kind !== "relax")) {
      const start = starts[step.step_id];
      const ends = start + step.end - step.start;
      found.push([start, false], [ends, placeAfter(step, state.way, ends) === "fridge"]);
    }
  }
  state.moves.forEach((move) => found.length > 0 && move.at > found[0][0] && putIn(found, [move.at, move.place === "fridge"]));
  return found;
}

// Where it belongs by its time, after what was there at the same instant.
function putIn(found, mark) {
  let i = found.length;
  while (found[i - 1][0] > mark[0]) {
    i -= 1;
  }
  found.splice(i, 0, mark);
}

// Stretches in which it is not cold, the last cut at `until`.
function spansOut(found, until) {
  const ends = found.map((_, i) => Math.min(i + 1 < found.length ? found[i + 1][0] : until, until));
  return found.map(([at, cold], i) => (!cold && ends[i] > at ? [at, ends[i]] : null)).filter((span) => span !== null);
}

// The same as things stand: the steps' real times, the room as it was read, up to now until the last load is in.
export function perishingNow(plan, retimed, state, now) {
  const due = inPlanOrder(plan, state, 0, timeChain(plan, state, 0));
  const waits = due.filter(({ step }, i) => step.chain && retimed.steps[i].status === "open").map(({ step }) => step.start);
  const steps = retimed.steps.map((one, i) => ({ ...one, start: outSince(one, due[i], waits, now) }));
  return perishingAt(plan, steps, state, now);
}

function outSince(one, due, waits, now) {
  const so_far = !waits.some((start) => start < due.step.start);
  return one.status === "open" && !due.step.chain && so_far && due.start <= now ? due.start : one.start;
}

// How long the dough, or what lies on a topped tray, is out by the time these steps bring it into the oven, where that is
// too long; 0 when it is in time. What is in its bowl can go back.
export function spoiltS(plan, timed, state, now) {
  let out = 0;
  for (const one of perishingAt(plan, timed, state, now)) {
    if (one.over && isEaten(one) && !one.load && one.seconds > out) {
      out = one.seconds;
    }
  }
  return out;
}

// Dough, or what lies on it: it cannot be taken fresh.
export function isEaten(one) {
  return one.key === DOUGH || one.on_tray;
}

// `timed`: every step in plan order.
function perishingAt(plan, timed, state, now) {
  const starts = Object.fromEntries(plan.steps.map((step, i) => [step.step_id, timed[i].start]));
  const settled = plan.steps.filter((_, i) => timed[i].status !== "open");
  const waiting = plan.steps.some((step) => step.kind === "load" && !settled.includes(step));
  return perishing(plan, starts, waiting ? now : null, roomPath(plan.rise.room, state.rooms), state, settled);
}

// The latest start of a kind, or null: with several loads the toppings of the last wait longest.
function startOf(steps, starts, kind) {
  const found = steps.filter((step) => step.kind === kind).map((step) => starts[step.step_id]);
  return found.reduce((last, start) => (last === null || start > last ? start : last), null);
}

// At the step that says so, else so long before loading as planned, at topping at last.
function leftFridge(plan, starts, topping, load) {
  const says = topping.key === "sauce" ? "sauce" : topping.fridge_out_s > 0 ? "cheese-out" : "top";
  const of = (kind) => plan.steps.filter((step) => step.kind === kind).map((step) => starts[step.step_id]);
  const said = of(says);
  const all = [...(said.length > 0 ? said : [load - topping.fridge_out_s]), ...of("top")];
  return all.reduce((first, start) => (start < first ? start : first), all[0]);
}
