// Running late: when the person can do it, what becomes of supper then, and what helps. The phone works it out; nothing is
// asked of a server. What is shown follows the clock, and what is filed is worked out at the tap.

import { fold } from "../now/journal.js";
import { BAKE_KINDS } from "../plan/kinds.js";
import { retime } from "../now/retime.js";
import { eventData } from "../now/taken.js";
import { ways } from "../now/ways.js";
import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { saidNext } from "../lib/log.js";
import { answers, form, preview, sheet, timeField, wallAt } from "../lib/sheet.js";
import { tooLong } from "../kitchen/out_of_fridge.js";
import { flagWords, isReadyEarly, paceWords } from "../kitchen/standing.js";
import { drawWays, sameWay } from "../kitchen/ways_list.js";
import { currentOf } from "../state/on_the_screen.js";
import { outFirst, isInOven } from "../state/warm_oven.js";
import { ovenBroken, bakesStill, drawBaking } from "../step/ask_oven.js";
import { stepNow, timedSteps } from "../plan/retimed.js";

const DELAYS = [900, 1800, 3600, 7200, 14400]; // s
const THIS_MINUTE_S = 60;

export function open(kitchen, step) {
  const about = step ?? currentOf(kitchen).step;
  if (BAKE_KINDS.includes(about.kind)) {
    inOven(kitchen);
    return;
  }
  const { place, show, again } = preview();
  const from = () => Math.max(kitchen.now(), stepNow(kitchen.retimed, about).start);
  // `until()` is when the person can, by the clock as it is then.
  const look = (until) => show(() => (isOver(kitchen, until()) ? question(kitchen, until(), look) : outcome(kitchen, until(), (way) => take(until, way))), "start");
  const at = (instant) => look(() => (isOver(kitchen, instant) ? instant : Math.max(instant, kitchen.now())));
  const take = (until, seen) => {
    const goesOn = seen?.kind === "as-planned";
    const way = seen && waysFrom(kitchen, until()).found.find((one) => (goesOn ? one.kind === seen.kind : sameWay(one, seen)));
    if (isOver(kitchen, until()) || (seen && !way)) {
      again(); // the clock has gone on: what comes of it now is shown first
      return;
    }
    page.close();
    kitchen.tell(["later", { until: until() }], ...(way ? [["way", eventData(way, true)]] : []));
  };
  const { field, read } = timeField(kitchen.phrase("i can at"), kitchen, 1, "late");
  const page = sheet(
    kitchen.phrase("running late"),
    el("p", {}, kitchen.phrase("when can you", { step: (isInOven(kitchen, about.kind) ? outFirst(kitchen) : about).title })), // as the step is called on the screen
    answers(DELAYS.map((by) => [kitchen.phrase("later by", { by: duration(by) }), by]), (by) => look(() => from() + by)),
    form(kitchen.phrase("show then"), (complain) => read(complain, at, (_, past) => at(past)), field),
    bakesStill(kitchen) ? button(ovenBroken(kitchen), () => kitchen.open("noOven"), { kind: "quiet wide", pic: "caution", key: "late-no-oven" }) : null,
    place,
  );
}

// One answer, and it closes: what follows from it stands on the screen.
function inOven(kitchen) {
  const { place, show } = preview();
  const page = sheet(kitchen.phrase("in the oven"), el("p", {}, kitchen.words.help["in-oven"]), place);
  const here = () => currentOf(kitchen)?.step;
  show(() => [here() && drawBaking(kitchen, here(), page.close)]);
}

// What helps: the ways from here, each one tap, following the clock while the sheet stands open. Opened by a reading that asks
// for it, and by whoever wants to know.
// `asked`: the ways that a reading found, null when the person asks.
export function openWays(kitchen, asked) {
  const now = () => ways(kitchen.bake.plan, kitchen.bake.state, kitchen.now());
  const first = asked ?? now();
  if (first.length === 0) {
    open(kitchen); // not mixed yet, or in the oven: only the times can be moved
    return;
  }
  const { place, show, again } = preview();
  const take = (seen) => {
    const way = now().find((one) => sameWay(one, seen));
    if (!way) {
      again(); // the clock has gone on: what can be done now is shown first
      return;
    }
    page.close();
    kitchen.tell(["way", eventData(way, true)]); // going on too: then no reading asks again
  };
  const page = sheet(kitchen.phrase(asked ? "what now" : "what helps"), place);
  let ready = first; // worked out a moment ago: for the first look
  show(() => {
    const found = ready ?? now();
    ready = null;
    return [el("p", {}, paceWords(kitchen, kitchen.retimed.factor)), ...drawWays(kitchen, found, take)];
  });
}

const typed = (minute) => [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, "0")).join(":");
const isOver = (kitchen, instant) => instant <= kitchen.now() - THIS_MINUTE_S;

// The clock has been there: it is not guessed that tomorrow was meant.
function question(kitchen, past, look) {
  const { format } = kitchen;
  const now = kitchen.now();
  const tomorrow = wallAt(format, typed(format.minuteOfDay(past)), now, 1);
  const choose = (words, until, key) => button(words, () => look(until), { kind: "quiet wide", key, says: true });
  return [
    notice("careful", el("p", {}, kitchen.phrase("that is over", { at: format.clock(past), ago: duration(now - past) }))),
    choose(kitchen.phrase("i can now"), () => kitchen.now(), "can-now"),
    choose(kitchen.phrase("i can", { at: format.dayClock(tomorrow, now) }), () => tomorrow, "day-after"),
  ];
}

// What is said by that, the ways from there, and the times that going on gets; nothing of its dough is agreed to yet.
function waysFrom(kitchen, until) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const said = (kind, data) => ({ event_id: kind, at: now, logged_at: saidNext(kitchen.bake), kind, data });
  const events = [...kitchen.events, said("later", { until })];
  const found = ways(plan, fold(plan, events), now);
  const going = found.filter((way) => way.kind === "as-planned").map((way) => said("way", eventData(way, false)));
  return { state: fold(plan, [...events, ...going]), found };
}

// What follows if the person can do the next step then.
function outcome(kitchen, until, take) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const { state, found } = waysFrom(kitchen, until);
  return [
    el("h3", {}, kitchen.phrase("i can", { at: kitchen.format.dayClock(until, now) })),
    ...(found.length > 0 ? drawWays(kitchen, found, take) : []),
    found.length > 0 ? el("h3", {}, kitchen.phrase("if you go on")) : null,
    el("ul", {}, ...changes(kitchen, state, retime(plan, state, now))),
    found.length > 0 ? null : button(kitchen.phrase("go by this"), () => take(null), { kind: "wide", pic: "clock", key: "keep", says: true }),
  ];
}

export function changes(kitchen, state, then) {
  const clock = (at) => kitchen.format.dayClock(at, kitchen.now());
  const rows = timedSteps(kitchen.bundle.plan, then).sort((a, b) => a[1].start - b[1].start).flatMap(([step, timed]) => {
    const flag = flagWords(kitchen, step, timed);
    const moved = Math.abs(timed.start - stepNow(kitchen.retimed, step).start) >= 60;
    if (timed.status !== "open" || (!moved && !flag)) {
      return [];
    }
    return [el("li", {}, el("strong", { class: "num" }, clock(timed.start)), ` ${step.title}`, flag ? `: ${flag}` : "")];
  });
  const late_s = then.eat_at - kitchen.retimed.supper; // as it was agreed before
  const early_s = then.supper - then.ready_at;
  const supper = isReadyEarly(then) ? kitchen.phrase("ready early", { at: clock(then.ready_at), early: duration(early_s) }) : late_s > 0 ? kitchen.phrase("supper late", { at: clock(then.eat_at), late: duration(late_s) }) : kitchen.phrase("supper as wanted", { at: clock(then.supper) });
  const spoilt = tooLong(kitchen, state, then);
  return [...rows, ...(spoilt.length > 0 ? spoilt : [el("strong", {}, supper)]).map((one) => el("li", {}, one))];
}
