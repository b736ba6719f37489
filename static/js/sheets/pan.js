// Another pan: the whole dough is made bigger or smaller, and rounded to the scale again.

import { button, el, notice } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { answers, form, numberField, preview, sheet } from "../lib/sheet.js";
import { ovalCm2, rectangleCm2, roundCm2 } from "../scale/pans.js";
import { plannedArea } from "../step/weigh_list.js";

const CM_PER_INCH = 2.54;

export function open(kitchen) {
  const planned = plannedArea(kitchen.bundle.plan);
  const inches = kitchen.units.mass_unit === "oz";
  const unit = inches ? "in" : "cm";
  const cm = (input) => Number(input.value.replace(",", ".")) * (inches ? CM_PER_INCH : 1);
  const long = numberField("Length, or across when it is round", unit, { id: "pan-length", min: 1 });
  const wide = numberField("Width (leave empty when it is round)", unit, { id: "pan-width", min: 1 });
  const oval = el("input", { type: "checkbox", id: "pan-oval", name: "pan-oval" });
  const shape = el("label", { class: "choice" }, oval, el("span", { class: "choice__name" }, "It is oval, not with corners"));
  const many = numberField("How many of them", "", { id: "pan-count", value: 1, min: 1, step: 1 });
  wide.input.required = false;
  const send = (complain) => {
    const area_cm2 = floor() * Math.trunc(Number(many.input.value));
    if (!(area_cm2 >= 50 && area_cm2 <= 20000)) {
      complain("That is no pan for bread: give its length and width, or its diameter, inside at the bottom.");
    } else {
      look(area_cm2);
    }
  };
  const floor = () => {
    if (wide.input.value === "") {
      return roundCm2(cm(long.input));
    }
    return (oval.checked ? ovalCm2 : rectangleCm2)(cm(long.input), cm(wide.input));
  };
  const { place, show } = preview();
  const look = (area_cm2) => show(() => outcome(kitchen, planned, area_cm2, page), "nearest");
  const own = (kitchen.units.pans ?? []).filter((pan) => pan.area_cm2 !== planned);
  const page = sheet(
    "Which pan instead?",
    kitchen.state.area_cm2 ? back(kitchen, () => page.close()) : null,
    own.length > 0 ? answers(own.map((pan) => [pan.name, pan.area_cm2]), look) : null,
    form("Show the new dough", send, long.field, wide.field, shape, many.field),
    place,
  );
}

function back(kitchen, close) {
  const act = () => {
    close();
    kitchen.undo((event) => event.kind === "pan");
  };
  return button("Back to the planned pan", act, { kind: "quiet wide", pic: "undo", key: "pan-back", says: true });
}

function outcome(kitchen, planned, area_cm2, page) {
  const factor = area_cm2 / planned;
  const dough_g = kitchen.bundle.plan.dough_g * factor;
  const words = `${kitchen.format.grams(dough_g)} of dough, ${trimmed(factor, 2)} times the planned one; toppings the same way.`;
  const mixed = kitchen.state.done.some((done) => kitchen.bundle.plan.steps.some((s) => s.kind === "mix" && s.step_id === done.step_id));
  const keep = () => {
    page.close();
    kitchen.tell(["pan", { area_cm2 }]);
  };
  const late = mixed ? kitchen.words.help.mixed : "";
  return [
    notice(late ? "careful" : "", el("p", {}, words), late ? el("p", {}, late) : null),
    button("Bake in this pan", keep, { kind: "wide", pic: "pan-rectangle", key: "keep", says: true }),
  ];
}
