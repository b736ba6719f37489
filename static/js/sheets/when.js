// "I did it earlier": the step was done at another time than now. Now is the moment of the tap, however long the sheet stood
// open; a time that is still ahead is asked about, never filed as yesterday's.

import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { answers, form, preview, sheet, timeField } from "../lib/sheet.js";
import { sayDone } from "../state/actions.js";
import { leaveOut } from "../step/leave_out.js";

const AGO = [300, 600, 1200, 1800, 3600]; // s

export function open(kitchen, step) {
  const done = (at) => {
    page.close();
    sayDone(kitchen, step, at);
  };
  const leave = () => {
    page.close();
    leaveOut(kitchen, [step]);
  };
  const { field, read } = timeField(kitchen.phrase("or at"), kitchen, -1, "when");
  const { place, show } = preview();
  const send = (complain) => read(complain, done, (last, ahead) => show(() => ask(kitchen, last, ahead, done), "nearest"));
  const page = sheet(
    kitchen.phrase("when done", { step: step.title }),
    answers([[kitchen.phrase("just now"), 0], ...AGO.map((ago) => [kitchen.phrase("so long ago", { ago: duration(ago) }), ago]), [kitchen.phrase("as planned"), null]], (ago) => done(ago === null ? Math.min(kitchen.now(), asPlanned(kitchen, step)) : kitchen.now() - ago)),
    step.kind === "fold" ? button(kitchen.phrase("it was not folded"), () => leave(), { kind: "quiet wide", key: "not-folded", says: true }) : null,
    form(kitchen.phrase("it was done then"), send, field),
    place,
  );
}

// The clock has not been there yet today, or has been by the time that somebody answers.
function ask(kitchen, last, ahead, done) {
  const { format, bundle } = kitchen;
  const now = kitchen.now();
  if (ahead <= now) {
    return [button(kitchen.phrase("it was", { at: format.clock(ahead) }), () => done(ahead), { kind: "quiet wide", key: "that-time", says: true })];
  }
  const words = kitchen.phrase("still ahead", { at: format.clock(ahead), ahead: duration(ahead - now) });
  const whole = last < bundle.plan.made_at ? null : button(kitchen.phrase("it was on", { day: format.dayName(last, now), at: format.clock(last) }), () => done(last), { kind: "quiet wide", key: "day-before", says: true });
  return [notice("careful", el("p", {}, words)), button(kitchen.phrase("it is done now"), () => done(kitchen.now()), { kind: "quiet wide", key: "done-now", says: true }), whole].filter(Boolean);
}

function asPlanned(kitchen, step) {
  return kitchen.untimed().steps.find((one) => one.step_id === step.step_id).end;
}
