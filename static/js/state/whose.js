// Whom each open step suits at the time at which it stands: said behind its text, and in its title where it is nobody’s of the
// house. The words came with the bundle, without names. Twin of webapp/words/plan/whose.py.

import { isUnseen, who } from "../plan/whose.js";

export function sayWhoseItIs({ plan, state, retimed, words }, now) {
  if (!plan.house || !words.there) {
    return; // of a plan of before, whose texts name who was meant
  }
  plan.steps.forEach((step, i) => {
    const timed = retimed.steps[i];
    const names = timed.status === "open" ? who(plan, step, timed) : [];
    step.own ??= step.title;
    step.title = step.presence !== "none" && names.length === 1 && names[0] === "" ? `${step.own} (${words.there.else})` : step.own;
    step.whose = timed.status === "open" ? line(words.there, step.presence === "hands" ? "hands" : "home", names, isUnseen(plan.house, plan, state, step, timed, now)) : "";
  });
}

function line(there, how, names, nobody) {
  const alone = names.includes("") && names.some((name) => name.toLowerCase() === there.reader.toLowerCase());
  const said = nobody ? there[`no-${how}`] : names.length === 0 || alone ? "" : there[how].replace("{names}", () => names.map((name) => name || there.else).join(", "));
  return said && `\n${said}`;
}
