// Read the glass: the piece of dough in a straight-sided glass shows how far the whole has risen.

import { fold } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { button, el, notice } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { observe } from "../state/observed.js";
import { paceWords } from "../kitchen/standing.js";
import { answers, form, numberField, preview, sheet } from "../lib/sheet.js";

const TIMES = [1.25, 1.5, 1.75, 2, 2.25, 2.5, 3];

export function open(kitchen) {
  const { place, show } = preview();
  const { input, field } = numberField("Or exactly, times its first height", "×", { min: 1, max: 12, step: "0.05" });
  const look = (times) => show(() => outcome(kitchen, times, page), "nearest");
  const send = (complain) => {
    const times = Number(input.value.replace(",", "."));
    if (!(times >= 1 && times <= 12)) {
      complain("Give how many times its first height it stands at: 1 is not risen, 2 is doubled.");
    } else {
      look(times);
    }
  };
  const page = sheet(
    "How high does the glass stand?",
    el("p", {}, "The piece of dough in the straight-sided glass, against the mark you made after mixing. ×2 is twice as high."),
    answers(TIMES.map((times) => [`×${times}`, times]), look),
    form("Show what it means", send, field),
    place,
  );
}

function outcome(kitchen, times, page) {
  const { plan } = kitchen.bundle;
  const now = kitchen.now();
  const said = { event_id: "f".repeat(32), bake_id: plan.bake_id, at: now, logged_at: now, phone: "", kind: "glass", data: { times } };
  const then = retime(plan, fold(plan, [...kitchen.events, said]), now);
  const keep = () => {
    page.close();
    observe(kitchen, "glass", { times });
  };
  return [
    notice("", el("p", {}, paceOf(then)), el("p", {}, nextWords(kitchen, then))),
    button(`The glass reads ×${trimmed(times, 2)}`, keep, { kind: "wide", pic: "glass", key: "keep", says: true }),
  ];
}

function paceOf(then) {
  if (!then.place || then.outside.includes("soon")) {
    return "Too early to tell anything from the glass; the times stay as they are.";
  }
  return paceWords(then.factor);
}

function nextWords(kitchen, then) {
  const { plan } = kitchen.bundle;
  const at = plan.steps.findIndex((step, i) => step.mark !== null && then.steps[i].status === "open");
  if (at < 0) {
    return "No step waits for the rise any more.";
  }
  const timed = then.steps[at];
  const clock = (instant) => kitchen.format.dayClock(instant, kitchen.now());
  const best = timed.best_at ? `Best at about ${clock(timed.best_at)}` : "It does not get to its best at this warmth";
  const past = timed.past_at ? `, past it from ${clock(timed.past_at)}.` : ".";
  return `${plan.steps[at].title}: ${clock(timed.start)}. ${best}${past}`;
}
