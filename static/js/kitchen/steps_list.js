// All steps with their times as things stand; what is done can be taken back.

import { button, el, picture } from "../lib/dom.js";
import { BAKE_KINDS } from "../plan/kinds.js";
import { bakedWords } from "../step/oven.js";
import { leaveOut } from "../step/leave_out.js";
import { forPan } from "../step/other_pan.js";
import { listedNow, textBeside } from "../step/weigh_list.js";
import { currentOf } from "../state/on_the_screen.js";
import { timedSteps } from "../plan/retimed.js";

export function drawSteps(kitchen) {
  const { plan } = kitchen.bundle;
  const rows = timedSteps(plan, kitchen.retimed)
    .sort((a, b) => a[1].start - b[1].start) // a tie stays as in the plan
    .map(([step, timed]) => row(kitchen, step, timed));
  return el(
    "details",
    { class: "card card--plain", "data-all": true },
    el("summary", { "data-key": "all" }, kitchen.phrase("all steps")),
    el("ol", { class: "step-list" }, rows),
  );
}

function row(kitchen, step, timed) {
  const now = step.step_id === currentOf(kitchen)?.step.step_id;
  const settled = timed.status !== "open";
  const isDue = now && timed.start <= kitchen.now(); // red is what is due, as on the bake page
  const kind = settled ? "step-row step-row--done" : isDue ? "step-row step-row--now" : "step-row";
  const clock = kitchen.format.dayClock(settled ? timed.end : timed.start, kitchen.now());
  return el(
    "li",
    { class: kind, "aria-current": now ? "step" : null, key: step.step_id },
    el("span", { class: "step-row__time" }, clock),
    el("span", { class: "step-row__what" }, picture(step.kind), step.title),
    el(
      "div",
      { class: "step-row__text" },
      settled ? null : el("p", { class: "as-typed" }, textNow(kitchen, step)),
      timed.status === "passed" ? el("p", { class: "soft" }, kitchen.phrase(step.kind === "fold" ? "fold left out" : "taken as done")) : null,
      !settled || (timed.status === "passed" && step.kind === "fold") ? button(kitchen.phrase("it is done"), () => kitchen.open("when", step), { kind: "quiet", key: `done-${step.step_id}`, label: kitchen.phrase("that is done", { step: step.title }) }) : null,
      !settled && step.kind === "fold" ? button(kitchen.phrase("leave it out"), () => leaveOut(kitchen, [step]), { kind: "quiet", key: `leave-${step.step_id}`, label: kitchen.phrase("leave that out", { step: step.title }), says: true }) : null,
      timed.status === "done" ? button(kitchen.phrase("take back"), () => kitchen.undoStep(step.step_id), { kind: "quiet", pic: "undo", key: `undo-${step.step_id}`, label: kitchen.phrase("take back what", { what: step.title }), says: true }) : null,
    ),
  );
}

// What to do as things stand: amounts and minutes of the plan's own text may have changed since.
function textNow(kitchen, step) {
  const listed = listedNow(kitchen, step);
  if (!listed && !BAKE_KINDS.includes(step.kind)) {
    return forPan(kitchen, step, "text");
  }
  const baked = step.kind === "lift" ? kitchen.phrase("baked after", { minutes: bakedWords(kitchen) }) : "";
  return [listed, textBeside(kitchen, step), baked].filter(Boolean).join("\n");
}
