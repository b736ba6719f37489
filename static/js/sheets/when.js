// "I did it earlier": the step was done at another time than now. Now is the moment of the tap, however long the sheet stood
// open; a time that is still ahead is asked about, never filed as yesterday's.

import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { answers, form, sheet, timeField } from "../lib/sheet.js";

const AGO = [["Just now", 0], ["5 min ago", 300], ["10 min ago", 600], ["20 min ago", 1200], ["30 min ago", 1800], ["1 h ago", 3600], ["As planned", null]];

export function open(kitchen, step) {
  const done = (at) => {
    page.close();
    kitchen.tell(["done", { step_id: step.step_id }, at]);
  };
  const { field, read } = timeField("Or at this time", kitchen, -1, "when");
  const question = el("div", { class: "stack", "aria-live": "polite" });
  const send = (complain) => {
    question.replaceChildren();
    read(complain, done, (last, ahead) => question.replaceChildren(...ask(kitchen, last, ahead, done)));
  };
  const page = sheet(
    `When was it done: ${step.title}?`,
    answers(AGO, (ago) => done(ago === null ? Math.min(kitchen.now(), asPlanned(kitchen, step)) : kitchen.now() - ago)),
    form("It was done then", send, field),
    question,
  );
}

// The clock has not been there yet today.
function ask(kitchen, last, ahead, done) {
  const { format, bundle } = kitchen;
  const now = kitchen.now();
  const words = `${format.clock(ahead)} is still ahead, in ${duration(ahead - now)}. When it is done, say so then.`;
  const whole = last < bundle.plan.made_at ? null : button(`It was ${format.dayName(last, now)} at ${format.clock(last)}`, () => done(last), { kind: "quiet wide", key: "day-before" });
  return [notice("careful", el("p", {}, words)), button("It is done now", () => done(kitchen.now()), { kind: "quiet wide", key: "done-now" }), whole].filter(Boolean);
}

function asPlanned(kitchen, step) {
  return kitchen.untimed().steps.find((one) => one.step_id === step.step_id).end;
}
