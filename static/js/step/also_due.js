// What is due beside the step that fills the screen, and matters less: each with its own word that it is done.

import { button, el, picture } from "../lib/dom.js";
import { doneWord } from "../lib/labels.js";
import { dueHere } from "../state/on_the_screen.js";

export function drawAlsoDue(kitchen, current) {
  const others = dueHere(kitchen).filter((ring) => ring.step_id !== current.step.step_id);
  if (others.length === 0) {
    return null;
  }
  const rows = others.map(({ step_id }) => alsoDue(kitchen, kitchen.bundle.plan.steps.find((step) => step.step_id === step_id)));
  return el("section", { class: "also", "aria-label": "Due as well" }, el("ul", {}, rows));
}

function alsoDue(kitchen, step) {
  const done = () => kitchen.tell(["done", { step_id: step.step_id }]);
  const words = doneWord(step.kind);
  return el(
    "li",
    { class: "also__row", key: step.step_id },
    picture(step.kind),
    el("span", { class: "also__what" }, el("strong", {}, "Due too: "), step.title),
    button(words, done, { kind: "quiet", key: `done-too-${step.step_id}`, label: `${words}: ${step.title}`, says: true }),
  );
}
