// A step that is said many hours before its plan. It is asked about first: said by mistake it would move the whole day, and
// what it does to supper is worth a look when it is meant. What is shown follows the clock, what is filed is worked out at the tap.

import { fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { eventData } from "../now/taken.js";
import { ways } from "../now/ways.js";
import { button, el } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { doneWord, small } from "../lib/labels.js";
import { saidNext } from "../lib/log.js";
import { holdsUp } from "../state/actions.js";
import { restHere } from "../touch/rest.js";
import { preview, sheet } from "../lib/sheet.js";
import { drawWays, sameWay } from "../kitchen/ways_list.js";
import { changes } from "./late.js";

const HOUR_S = 3600;

// `at`: when it was done; null = at the moment of the tap.
export function open(kitchen, { step, at }) {
  const { plan } = kitchen.bundle;
  const due = kitchen.dueAt(step.step_id);
  const lit = step.kind === "preheat"; // an oven that is on for hours is turned off, whatever comes of the dough
  const { place, show, again } = preview();
  const then = () => {
    const now = kitchen.now();
    const said = { event_id: "f".repeat(32), bake_id: plan.bake_id, at: at ?? now, logged_at: saidNext(kitchen.bake), phone: "", kind: "done", data: { step_id: step.step_id } };
    const state = fold(plan, [...kitchen.events, said]);
    return { state, now, found: holdsUp(step) ? ways(plan, state, now) : [] };
  };
  const take = (seen) => {
    const way = seen && then().found.find((one) => sameWay(one, seen));
    if (seen && !way) {
      again(); // the clock has gone on: what comes of it now is shown first
      restHere();
      return;
    }
    page.close();
    kitchen.tell(["done", { step_id: step.step_id }, at ?? kitchen.now()], ...(way ? [["way", eventData(way, true)]] : []));
  };
  const view = () => {
    const { state, now, found } = then();
    const plain = button(kitchen.phrase("yes it is done", { done: doneWord(kitchen, step.kind) }), () => take(null), { kind: "quiet wide", pic: "good", key: "early-yes", says: true });
    return [
      el("p", {}, kitchen.phrase(lit ? "lit early" : "done early", { due: kitchen.format.dayClock(due, now), ahead: duration(due - now) })),
      ...(found.length > 0 ? drawWays(kitchen, found, take, `${kitchen.phrase("yes", { done: small(doneWord(kitchen, step.kind)) })} `) : [el("ul", {}, ...changes(kitchen, state, retime(plan, state, now))), plain]),
    ];
  };
  const page = sheet(
    kitchen.phrase("before the plan", { done: doneWord(kitchen, step.kind), early: duration(Math.round((due - (at ?? kitchen.now())) / HOUR_S) * HOUR_S) }),
    button(kitchen.phrase(lit ? "no turn it off" : "no not yet"), () => page.close(), { kind: "wide", key: "not-yet" }),
    place,
  );
  show(view);
}
