// Running late: how much, what becomes of supper then, and what helps. The phone works it out; nothing is asked of a server.

import { fold } from "../now/journal.js";
import { rescues } from "../now/rescue.js";
import { retime } from "../now/retime.js";
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
    ...rescues(plan, state, now).map((rescue) => drawRescue(kitchen, rescue, until, page)),
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

function drawRescue(kitchen, rescue, until, page) {
  const later = until ? [["later", { until }]] : [];
  const act = (...items) => () => {
    page.close();
    kitchen.tell(...later, ...items);
  };
  const clock = (at) => kitchen.format.dayClock(at, kitchen.now());
  if (rescue.kind === "fridge") {
    return way("fridge", fridgeWords(rescue, clock), button("It’s in the fridge now", act(["moved", { place: "fridge" }]), { key: "to-fridge" }));
  }
  if (rescue.kind === "warm") {
    const words = rescue.sooner_s > 0 ? `In the warm spot it is ready ${duration(rescue.sooner_s)} sooner.` : `In the warm spot it is ready at ${clock(rescue.until)}.`;
    return way("warm", `${words} Cover it; not above ${kitchen.format.heat(35)}.`, button("It’s in the warm spot now", act(["moved", { place: "warm" }]), { key: "to-warm" }));
  }
  if (rescue.kind === "later") {
    const supper = Math.ceil(rescue.ready_at / 300) * 300;
    return way("supper", `Eat at ${clock(supper)}.`, button(`Supper at ${clock(supper)}`, act(["supper", { instant: supper }]), { key: "eat-later" }));
  }
  return way("caution", pastWords(rescue, clock), null);
}

const way = (pic, words, act) => el("div", { class: "way" }, picture(pic, "large"), el("div", { class: "stack stack--tight" }, el("p", {}, words), act));

function fridgeWords(rescue, clock) {
  const holds = rescue.until ? `Put in now it holds until ${clock(rescue.until)}.` : "Put in now it holds for days.";
  const by = rescue.by ? `Into the fridge by ${clock(rescue.by)} at the latest, covered.` : "The fridge slows it down, but no longer enough for this hour.";
  return `${by} ${holds}`;
}

// What to do with a dough that has gone over: common practice.
function pastWords(rescue, clock) {
  return (
    `Left where it is, it is past its best from ${clock(rescue.until)} on: it spreads, tears and browns less. It is still ` +
    "good to eat: press it out gently, do not knead it, bake it soon and thin. Or use it as old dough: up to a fifth of the flour of " +
    "the next one, kept in the fridge for two days at most."
  );
}

