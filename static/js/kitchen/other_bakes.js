// The other bakes that are packed in this phone.

import { el, picture } from "../lib/dom.js";
import { formatFor } from "../lib/format.js";
import { SCHEMA } from "../lib/packed.js";

export function drawShelf(kitchen) {
  const others = (kitchen.bundles ?? []).filter((bundle) => bundle !== kitchen.bundle && bundle.schema <= SCHEMA);
  if (others.length === 0) {
    return null;
  }
  const rows = others
    .sort((a, b) => a.plan.supper - b.plan.supper)
    .map((bundle) => el("li", {}, link(bundle, kitchen)));
  const title = kitchen.bundle ? "Other bakes in this phone" : "Bakes in this phone";
  return el("section", { class: "card card--plain" }, el("h2", {}, title), el("ul", { class: "shelf" }, rows));
}

function link(bundle, kitchen) {
  const format = formatFor(bundle.plan.zone, { clock: "24", ...bundle.kitchen });
  const when = `supper ${format.dayName(bundle.plan.supper, kitchen.now())} ${format.clock(bundle.plan.supper)}`;
  return el(
    "a",
    { class: "shelf__link", href: `#${bundle.plan.bake_id}`, "data-key": bundle.plan.bake_id },
    picture("dough"),
    el("span", {}, el("strong", {}, bundle.plan.title), el("span", { class: "soft shelf__when" }, when)),
  );
}
