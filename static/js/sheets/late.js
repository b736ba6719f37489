// Running late: how much, what becomes of supper then, and what helps. The phone works it out; nothing is asked of a server.

import { fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { eventData, ways } from "../now/ways.js";
import { button, el, notice, picture } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { answers, form, sheet, timeField } from "../lib/sheet.js";
import { flagWords } from "../kitchen/standing.js";

export function open(kitchen, step) {
  const about = step ?? kitchen.bundle.plan.steps.find((one) => one.step_id === kitchen.retimed.current);
  const preview = el("div", { class: "stack", "aria-live": "polite" });
  const from = () => Math.max(kitchen.now(), stepOf(kitchen.retimed, about.step_id).start);
  const look = (until) => {
    preview.replaceChildren(...outcome(kitchen, until, page).filter(Boolean));
    preview.scrollIntoView({ block: "start" });
  };
  const { field, read } = timeField("Or not before", kitchen, 1, "late");
  const ask = (tomorrow, past) => {
    const words = `${kitchen.format.clock(past)} is over, ${duration(kitchen.now() - past)} ago.`;
    const then = kitchen.format.dayClock(tomorrow, kitchen.now());
    preview.replaceChildren(notice("careful", el("p", {}, words)), button(`Not before ${then}`, () => look(tomorrow), { kind: "quiet wide", key: "day-after" }));
  };
  const page = sheet(
    `When can you do it: ${about.title}?`,
    answers([["15 min later", 900], ["30 min later", 1800], ["1 h later", 3600], ["2 h later", 7200], ["4 h later", 14400]], (by) => look(from() + by)),
    form("Show what happens then", (complain) => read(complain, look, ask), field),
    preview,
  );
  if (kitchen.retimed.late_s > 60 || kitchen.retimed.steps.some((one) => one.flag === "past" || one.flag === "never")) {
    preview.replaceChildren(...outcome(kitchen, 0, page).filter(Boolean));
  }
}

const stepOf = (retimed, step_id) => retimed.steps.find((one) => one.step_id === step_id);

// What follows if the next step waits until then; 0 = as things stand.
function outcome(kitchen, until, page) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const said = { event_id: "f".repeat(32), bake_id: plan.bake_id, at: now, logged_at: now, phone: "", kind: "later", data: { until } };
  const state = until ? fold(plan, [...kitchen.events, said]) : kitchen.state;
  const then = retime(plan, state, now);
  const keep = () => {
    page.close();
    kitchen.tell(["later", { until }]);
  };
  return [
    el("h3", {}, until ? `Not before ${kitchen.format.dayClock(until, now)}` : "As things stand"),
    el("ul", {}, ...changes(kitchen, then)),
    ...ways(plan, state, now).map((way) => drawWay(kitchen, way, until, page)),
    until ? button("Go by this", keep, { kind: "wide", pic: "clock", key: "keep" }) : null,
  ];
}

function changes(kitchen, then) {
  const clock = (at) => kitchen.format.dayClock(at, kitchen.now());
  const rows = kitchen.bundle.plan.steps.flatMap((step, i) => {
    const [timed, before] = [then.steps[i], kitchen.retimed.steps[i]];
    const flag = flagWords(kitchen, step, timed);
    const moved = Math.abs(timed.start - before.start) >= 60;
    if (timed.status !== "open" || (!moved && !flag)) {
      return [];
    }
    return [el("li", {}, el("strong", { class: "num" }, clock(timed.start)), ` ${step.title}`, flag ? `: ${flag}` : "")];
  });
  const supper = then.late_s < 60 ? `Supper as wanted, ${clock(then.supper)}.` : `Supper at ${clock(then.ready_at)}, ${duration(then.late_s)} late.`;
  return [...rows, el("li", {}, el("strong", {}, supper))];
}

const PICTURES = { fridge: "fridge", "cold-tray": "fridge", warm: "warm", later: "supper", sooner: "supper" };

// One future: what to do now, when supper is, what it gives on the plate.
function drawWay(kitchen, way, until, page) {
  const later = until ? [["later", { until }]] : [];
  const take = () => {
    page.close();
    kitchen.tell(...later, ["way", eventData(way, true)]);
  };
  const clock = (at) => kitchen.format.dayClock(at, kitchen.now());
  const carry = way.moves.map((move) => `${clock(move.at)} ${CARRY[move.place]}.`);
  const press = way.press_at ? `Press out at ${clock(way.press_at)}, into the oven at` : "Into the oven at";
  const words = `${press} ${clock(way.load_at)}, supper at ${clock(way.supper)}: ${RESULTS[way.result]}`;
  const act = way.kind === "as-planned" ? null : button(`Supper at ${clock(way.supper)}`, take, { key: `way-${way.kind}` });
  return el(
    "div",
    { class: "way" },
    picture(PICTURES[way.kind] ?? "clock", "large"),
    el("div", { class: "stack stack--tight" }, el("p", {}, el("strong", {}, KINDS[way.kind]), " ", [...carry, words].join(" ")), act),
  );
}

const KINDS = {
  "as-planned": "Go on as it stands.",
  "on-time": "Supper on time.",
  later: "Later, riper.",
  sooner: "Sooner.",
  warm: "The warm spot.",
  "cold-tray": "Press now, hold the tray cold.",
  fridge: "Into the fridge.",
};
const CARRY = { bench: "onto the bench", fridge: "into the fridge, covered", warm: "into the warm spot, covered" };
const RESULTS = {
  young: "a young dough, flat and dense.",
  "bit-young": "a bit young, a little flatter.",
  best: "at its best.",
  "bit-past": "a bit past its best, a little flatter; press it gently.",
  past: "past its best: it spreads, tears and browns less. Do not knead it, bake it thin. Still good to eat.",
};
