// "I did it earlier": the step was done at another time than now.

import { el } from "../lib/dom.js";
import { answers, form, sheet } from "../lib/sheet.js";

export function open(kitchen, step) {
  const now = kitchen.now();
  const done = (at) => {
    page.close();
    kitchen.tell(["done", { step_id: step.step_id }, at]);
  };
  const input = el("input", { type: "time", id: "when", required: true });
  const send = (complain) => {
    const at = kitchen.format.lastAt(input.value, now);
    if (Number.isNaN(at)) {
      complain("Give the time as on the clock, such as 16:45.");
    } else {
      done(at);
    }
  };
  const page = sheet(
    `When was it done: ${step.title}?`,
    answers([["Just now", 0], ["5 min ago", 300], ["10 min ago", 600], ["20 min ago", 1200], ["30 min ago", 1800], ["1 h ago", 3600], ["As planned", null]], (ago) =>
      done(ago === null ? Math.min(now, asPlanned(kitchen, step)) : now - ago),
    ),
    form("It was done then", send, el("div", { class: "field" }, el("label", { class: "field__label", for: "when" }, "Or at this time"), input)),
  );
}

function asPlanned(kitchen, step) {
  return kitchen.untimed().steps.find((one) => one.step_id === step.step_id).end;
}
