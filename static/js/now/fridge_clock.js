// How long what is perishable is out of the fridge, by the times things really had. Twin of webapp/core/now/fridge_clock.py:
// change both or neither. Limits: 2 h, or 1 h above 32 C (USDA FSIS); a dough with milk or egg by the same, all its time together.

import { placeAfter } from "./marked.js";
import { roomPath } from "./walk.js";

const OUT_LIMIT_S = 2 * 3600;
const HOT_LIMIT_S = 3600;
const HOT_ROOM_C = 32;
export const DOUGH = ""; // no topping has this key

// The dough where it perishes and every perishable topping that goes into the oven, as things stand:
// {key, name, out_at, until, seconds, limit_s, use_by, over, had_s}.
export function perishingNow(plan, retimed, state, now) {
  const loads = plan.steps.map((step, i) => [step, retimed.steps[i]]).filter(([step]) => step.kind === "load");
  if (loads.length === 0) {
    return [];
  }
  const load = loads.reduce((last, [, timed]) => (timed.start > last ? timed.start : last), loads[0][1].start);
  const waiting = loads.some(([, timed]) => timed.status === "open");
  const until = waiting && now > load ? now : load;
  const room = roomPath(plan.rise.room, state.rooms);
  const counted = waiting ? now : null;
  const toppings = plan.toppings
    .filter((topping) => topping.perishable && topping.when === "before")
    .map((topping) => perishing(topping, leftFridge(plan, retimed, topping, load), until, counted, room));
  return [...(plan.dough_perishes ? [doughOut(plan, retimed, state, until, counted, room)] : []), ...toppings];
}

function doughOut(plan, retimed, state, until, now, room) {
  let seconds = 0;
  let had_s = 0;
  let hot = false;
  for (const [start, end] of spansOut(marksOf(plan, retimed, state), until)) {
    seconds += end - start;
    had_s += now === null ? 0 : Math.max(0, Math.min(end, now) - start);
    hot = hot || firstHot(start, end, room) !== null;
  }
  const limit_s = hot ? HOT_LIMIT_S : OUT_LIMIT_S;
  const out_at = until - seconds;
  return { key: DOUGH, name: "", out_at, until, seconds, limit_s, use_by: out_at + limit_s, over: seconds > limit_s, had_s };
}

// [instant, is it cold from then on], by time: every hand on the dough takes it out, from mixing on.
function marksOf(plan, retimed, state) {
  const marks = [];
  plan.steps.forEach((step, i) => {
    if (step.kind === "mix" || (step.chain && marks.length > 0 && step.kind !== "relax")) {
      const { start } = retimed.steps[i];
      const ends = start + step.end - step.start;
      marks.push([start, false], [ends, placeAfter(step, state.way, ends) === "fridge"]);
    }
  });
  state.moves.forEach((move) => marks.length > 0 && move.at > marks[0][0] && putIn(marks, [move.at, move.place === "fridge"]));
  return marks;
}

// Where it belongs by its time, after what was there at the same instant.
function putIn(marks, mark) {
  let i = marks.length;
  while (marks[i - 1][0] > mark[0]) {
    i -= 1;
  }
  marks.splice(i, 0, mark);
}

// Stretches in which it is not cold, the last cut at `until`.
function spansOut(marks, until) {
  const ends = marks.map((_, i) => Math.min(i + 1 < marks.length ? marks[i + 1][0] : until, until));
  return marks.map(([at, cold], i) => (!cold && ends[i] > at ? [at, ends[i]] : null)).filter((span) => span !== null);
}

function perishing(topping, out_at, until, now, room) {
  const hot_at = firstHot(out_at, until < out_at + OUT_LIMIT_S ? until : out_at + OUT_LIMIT_S, room);
  const hour = out_at + HOT_LIMIT_S;
  const use_by = hot_at === null ? out_at + OUT_LIMIT_S : hot_at > hour ? hot_at : hour;
  const seconds = until > out_at ? until - out_at : 0;
  return { key: topping.key, name: topping.name, out_at, until, seconds, limit_s: use_by - out_at, use_by, over: seconds > use_by - out_at, had_s: now === null ? 0 : Math.max(0, now - out_at) };
}

// At the step that says so, else so long before loading as planned, at topping at last.
function leftFridge(plan, retimed, topping, load) {
  const says = topping.key === "sauce" ? "sauce" : topping.fridge_out_s > 0 ? "cheese-out" : "top";
  const starts = (kind) => retimed.steps.filter((_, i) => plan.steps[i].kind === kind).map((timed) => timed.start);
  const said = starts(says);
  const all = [...(said.length > 0 ? said : [load - topping.fridge_out_s]), ...starts("top")];
  return all.reduce((first, start) => (start < first ? start : first), all[0]);
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
