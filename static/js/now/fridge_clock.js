// How long what is perishable is out of the fridge, by the times things really had. Twin of webapp/core/now/fridge_clock.py:
// change both or neither. Limits: 2 h, or 1 h above 32 C (USDA FSIS).

import { roomPath } from "./walk.js";

const OUT_LIMIT_S = 2 * 3600;
const HOT_LIMIT_S = 3600;
const HOT_ROOM_C = 32;

// Every perishable topping that goes into the oven, as things stand: {key, name, out_at, until, seconds, limit_s, use_by, over}.
export function perishingNow(plan, retimed, state, now) {
  const loads = plan.steps.map((step, i) => [step, retimed.steps[i]]).filter(([step]) => step.kind === "load");
  if (loads.length === 0) {
    return [];
  }
  const load = loads.reduce((last, [, timed]) => (timed.start > last ? timed.start : last), loads[0][1].start);
  const waiting = loads.some(([, timed]) => timed.status === "open");
  const until = waiting && now > load ? now : load;
  const room = roomPath(plan.rise.room, state.rooms);
  return plan.toppings
    .filter((topping) => topping.perishable && topping.when === "before")
    .map((topping) => perishing(topping, leftFridge(plan, retimed, topping, load), until, room));
}

function perishing(topping, out_at, until, room) {
  const hot_at = firstHot(out_at, until < out_at + OUT_LIMIT_S ? until : out_at + OUT_LIMIT_S, room);
  const hour = out_at + HOT_LIMIT_S;
  const use_by = hot_at === null ? out_at + OUT_LIMIT_S : hot_at > hour ? hot_at : hour;
  const seconds = until > out_at ? until - out_at : 0;
  return { key: topping.key, name: topping.name, out_at, until, seconds, limit_s: use_by - out_at, use_by, over: seconds > use_by - out_at };
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
