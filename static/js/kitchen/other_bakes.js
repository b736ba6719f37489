// The other bakes that are packed in this phone.

import { el, picture } from "../lib/dom.js";
import { nameOf } from "../step/step.js";

export function drawShelf(kitchen) {
  const others = [...kitchen.bakes.values()].filter((bake) => bake.id !== kitchen.shown && bake.readable);
  if (others.length === 0) {
    return null;
  }
  const rows = others.sort((a, b) => a.plan.supper - b.plan.supper).map((bake) => el("li", { key: bake.id }, link(bake, nameOf(kitchen, bake), kitchen.now())));
  const title = kitchen.bake ? "Other bakes in this phone" : "Bakes in this phone";
  return el("section", { class: "card card--plain" }, el("h2", {}, title), el("ul", { class: "shelf" }, rows));
}

function link({ id, plan, format }, name, now) {
  const when = `supper ${format.dayName(plan.supper, now)} ${format.clock(plan.supper)}`;
  return el(
    "a",
    { class: "shelf__link", href: `#${id}`, "data-key": id },
    picture("dough"),
    el("span", {}, el("strong", {}, name), el("span", { class: "soft shelf__when" }, when)),
  );
}
