// Another pan: a dough that is not mixed is made bigger or smaller, and rounded to the scale again; one that is mixed stays.

import { button, el, notice } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { answers, form, numberField, preview, sheet } from "../lib/sheet.js";
import { ovalCm2, rectangleCm2, roundCm2 } from "../scale/pans.js";
import { plannedArea } from "../step/other_pan.js";
import { thickWords, thicknessOn } from "../step/weigh_list.js";

const CM_PER_INCH = 2.54;

export function open(kitchen) {
  const planned = plannedArea(kitchen.bundle.plan);
  const inches = kitchen.units.mass_unit === "oz";
  const unit = inches ? "in" : "cm";
  const cm = (input) => Number(input.value.replace(",", ".")) * (inches ? CM_PER_INCH : 1);
  const long = numberField(kitchen.phrase("length or across"), unit, { id: "pan-length", min: 1 });
  const wide = numberField(kitchen.phrase("width"), unit, { id: "pan-width", min: 1 });
  const oval = el("input", { type: "checkbox", id: "pan-oval", name: "pan-oval" });
  const shape = el("label", { class: "choice" }, oval, el("span", { class: "choice__name" }, kitchen.phrase("it is oval")));
  const many = numberField(kitchen.phrase("how many"), "", { id: "pan-count", value: 1, min: 1, step: 1 });
  wide.input.required = false;
  const send = (complain) => {
    const area_cm2 = floor() * Math.trunc(Number(many.input.value));
    if (!(area_cm2 >= 50 && area_cm2 <= 20000)) {
      complain(kitchen.words.help["no-pan"] ?? "?");
    } else {
      look({ area_cm2, name: nameOf() });
    }
  };
  const nameOf = () => {
    const count = Number(many.input.value);
    const size = `${count > 1 ? `${count} x ` : ""}${[long, wide].map(({ input }) => input.value).filter(Boolean).join(" x ")} ${unit}`;
    return kitchen.phrase("pan of", { size });
  };
  const floor = () => {
    if (wide.input.value === "") {
      return roundCm2(cm(long.input));
    }
    return (oval.checked ? ovalCm2 : rectangleCm2)(cm(long.input), cm(wide.input));
  };
  const { place, show } = preview();
  const look = (pan) => show(() => outcome(kitchen, pan, page), "nearest");
  const own = (kitchen.units.pans ?? []).filter((pan) => pan.area_cm2 !== planned);
  const page = sheet(
    kitchen.phrase("which pan"),
    kitchen.state.area_cm2 ? back(kitchen, () => page.close()) : null,
    own.length > 0 ? answers(own.map((pan) => [pan.name, pan]), look) : null,
    form(kitchen.phrase("show new dough"), send, long.field, wide.field, shape, many.field),
    place,
  );
}

const isSaid = ({ bundle, state }, kind) => bundle.plan.steps.some((step) => step.kind === kind && state.done.some((done) => done.step_id === step.step_id));

// A dough that was mixed for another pan is not mixed again: then it is one more change.
function back(kitchen, close) {
  const act = () => {
    close();
    if (isSaid(kitchen, "mix")) {
      keep(kitchen, { area_cm2: plannedArea(kitchen.bundle.plan), name: "" });
    } else {
      kitchen.undo((event) => event.kind === "pan" || event.kind === "tray");
    }
  };
  return button(kitchen.phrase("planned pan"), act, { kind: "quiet wide", pic: "undo", key: "pan-back", says: true });
}

// Pressed out already, all of it lies in there.
function keep(kitchen, { area_cm2, name }) {
  const times = thicknessOn(kitchen, area_cm2 / plannedArea(kitchen.bundle.plan));
  kitchen.tell(["pan", { area_cm2, name }], ...(isSaid(kitchen, "press") ? [["tray", { times }]] : []));
}

function outcome(kitchen, pan, page) {
  const factor = pan.area_cm2 / plannedArea(kitchen.bundle.plan);
  const dough_g = kitchen.bundle.plan.dough_g * factor;
  const mixed = isSaid(kitchen, "mix");
  const words = mixed ? `${kitchen.words.help.mixed ?? ""} ${thickWords(kitchen, thicknessOn(kitchen, factor))}` : kitchen.phrase("so much dough", { dough: kitchen.format.grams(dough_g), times: trimmed(factor, 2) });
  const act = () => {
    page.close();
    keep(kitchen, pan);
  };
  return [notice(mixed ? "careful" : "", el("p", {}, words)), button(kitchen.phrase("bake in this pan"), act, { kind: "wide", pic: "pan-rectangle", key: "keep", says: true })];
}
