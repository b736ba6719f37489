// What stands on the screen in the place of a step: no bake, or one that this version cannot read.

import { el, notice, picture } from "../lib/dom.js";

export function drawNothing(kitchen) {
  const missing = Boolean(kitchen.wanted);
  const gone = kitchen.gone.has(kitchen.wanted);
  return el(
    "section",
    { class: "empty" },
    picture("dough", "large"),
    el("h1", {}, missing ? "This bake is not in this phone yet" : "No dough on the go"),
    el("p", { "data-fetching": true }, gone ? "The server does not know it (any more)." : missing ? "It is fetched as soon as the server answers." : "Plan a bake and all of it is packed for this screen, with no connection needed."),
    el("p", {}, el("a", { class: "button", href: "/" }, "Plan a bake")),
  );
}

export function drawTooNew() {
  return notice(
    "careful",
    el("h1", { class: "big" }, "This bake was packed by a newer version"),
    el("p", {}, "Connect to the server once, and the new kitchen comes by itself. The printed sheet and the calendar are good meanwhile."),
  );
}
