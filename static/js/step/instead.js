// What stands on the screen in the place of a step: no bake, or one that this version cannot read.

import { el, notice, picture } from "../lib/dom.js";
import { INSTEAD } from "../lib/labels.js";

export function drawNothing(kitchen) {
  const missing = Boolean(kitchen.wanted);
  const gone = kitchen.gone.has(kitchen.wanted);
  return el(
    "section",
    { class: "empty" },
    picture("dough", "large"),
    el("h1", {}, missing ? INSTEAD.missing : INSTEAD.none),
    el("p", { "data-fetching": true }, gone ? INSTEAD.gone : missing ? INSTEAD.fetched : INSTEAD.plan),
    el("p", {}, el("a", { class: "button", href: "/" }, INSTEAD.to_plan)),
  );
}

export function drawTooNew() {
  return notice(
    "careful",
    el("h1", { class: "big" }, INSTEAD.newer),
    el("p", {}, INSTEAD.connect),
  );
}
