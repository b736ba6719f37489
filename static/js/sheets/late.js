// Running late: when the person can do it, what becomes of supper then, and what helps. The phone works it out; nothing is
// asked of a server.

import { fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { eventData, ways } from "../now/ways.js";
import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { answers, form, sheet, timeField } from "../lib/sheet.js";
import { flagWords } from "../kitchen/standing.js";
import { drawWays } from "../kitchen/ways_list.js";

export function open(kitchen, step) {
  const about = step ?? kitchen.bundle.plan.steps.find((one) => one.step_id === kitchen.retimed.current);
  const preview = el("div", { class: "stack", "aria-live": "polite" });
  const from = () => Math.max(kitchen.now(), stepOf(kitchen.retimed, about.step_id).start);
  const look = (until) => {
    preview.replaceChildren(...outcome(kitchen, until, page).filter(Boolean));
    preview.scrollIntoView({ block: "start" });
  };
  const { field, read } = timeField("I can at", kitchen, 1, "late");
  const ask = (tomorrow, past) => {
    const words = `${kitchen.format.clock(past)} is over, ${duration(kitchen.now() - past)} ago.`;
    const then = kitchen.format.dayClock(tomorrow, kitchen.now());
    preview.replaceChildren(notice("careful", el("p", {}, words)), button(`I can at ${then}`, () => look(tomorrow), { kind: "quiet wide", key: "day-after" }));
  };
  const page = sheet(
    `When can you do it: ${about.title}?`,
    answers([["15 min later", 900], ["30 min later", 1800], ["1 h later", 3600], ["2 h later", 7200], ["4 h later", 14400]], (by) => look(from() + by)),
    form("Show what happens then", (complain) => read(complain, look, ask), field),
    preview,
  );
}

const stepOf = (retimed, step_id) => retimed.steps.find((one) => one.step_id === step_id);

// What follows if the person can do the next step then.
function outcome(kitchen, until, page) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const said = { event_id: "f".repeat(32), bake_id: plan.bake_id, at: now, logged_at: now, phone: "", kind: "later", data: { until } };
  const state = fold(plan, [...kitchen.events, said]);
  const then = retime(plan, state, now);
  const take = (way) => {
    page.close();
    kitchen.tell(["later", { until }], ...(way && way.kind !== "as-planned" ? [["way", eventData(way, true)]] : []));
  };
  const found = ways(plan, state, now);
  return [
    el("h3", {}, `I can at ${kitchen.format.dayClock(until, now)}`),
    ...(found.length > 0 ? drawWays(kitchen, found, take) : []),
    found.length > 0 ? el("h3", {}, "If you go on") : null,
    el("ul", {}, ...changes(kitchen, then)),
    found.length > 0 ? null : button("Go by this", () => take(null), { kind: "wide", pic: "clock", key: "keep" }),
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
  const late_s = then.eat_at - then.supper;
  const supper = late_s > 0 ? `Supper at ${clock(then.eat_at)}, ${duration(late_s)} late.` : `Supper as wanted, ${clock(then.supper)}.`;
  return [...rows, el("li", {}, el("strong", {}, supper))];
}
