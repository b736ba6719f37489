// The oven is broken: what a dough can still become. The phone works it out; nothing is asked of a server.

import { BAKE_KINDS } from "../plan/kinds.js";
import { sceneOf } from "../now/scene.js";
import { eventData } from "../now/taken.js";
import { atHome, tomorrow } from "../now/ways.js";
import { button, el, notice } from "../lib/dom.js";
import { preview, sheet } from "../lib/sheet.js";
import { drawWays, sameWay } from "../kitchen/ways_list.js";
import { currentOf, isMixed } from "../state/on_the_screen.js";
import { hobWords, toTheHob } from "../step/hob.js";
import { doughFactor } from "../step/other_pan.js";
import { stepNow } from "../plan/retimed.js";

export function open(kitchen) {
  const { help } = kitchen.words;
  const { place, show, again } = preview();
  const page = sheet(kitchen.phrase("the oven is broken"), notice("careful", el("p", { "data-caution": true }, help["oven-out"])), place);
  const go = (act) => () => {
    page.close();
    act();
  };
  const take = (seen) => {
    const way = waiting(kitchen);
    if (!way || !sameWay(way, seen)) {
      again(); // the clock has gone on: what can be done now is shown first
      return;
    }
    page.close();
    kitchen.tell(["way", eventData(way, true)]);
  };
  show(() => parts(kitchen, take, go));
}

// The dough, bowl or tray, into the fridge now and all else a day later; null where that cannot be.
function waiting({ bake, now }) {
  const scene = sceneOf(bake.plan, bake.state, now());
  return scene && atHome(scene, tomorrow(scene)).way;
}

function parts(kitchen, take, go) {
  const { bundle: { plan }, words: { help } } = kitchen;
  if (!isMixed(kitchen)) {
    return [el("p", {}, help["oven-unmixed"]), el("a", { class: "button button--quiet button--wide", href: `/bakes/${plan.bake_id}/change` }, kitchen.phrase("another evening"))];
  }
  if (BAKE_KINDS.includes(currentOf(kitchen)?.step.kind)) {
    return [el("p", {}, help["oven-inside"]), ...onHob(kitchen, go)];
  }
  const way = waiting(kitchen);
  return [
    way && el("h3", {}, kitchen.phrase("it waits for", { day: kitchen.format.dayName(way.supper, kitchen.now()) })),
    way && el("p", {}, plan.dough_perishes ? kitchen.phrase("wait with milk") : kitchen.phrase("wait in the cold", { cold: kitchen.format.heat(5) })),
    ...(way ? drawWays(kitchen, [way], take) : []),
    el("h3", {}, kitchen.phrase("in another oven")),
    el("p", {}, help["oven-other"]),
    el(
      "div",
      { class: "now__buttons" },
      button(kitchen.phrase("i can bake it at"), go(() => kitchen.open("late", loading(kitchen))), { kind: "quiet", pic: "clock", key: "other-oven" }),
      button(kitchen.phrase("another pan"), go(() => kitchen.open("pan")), { kind: "quiet", pic: "pan-rectangle", key: "other-oven-pan" }),
    ),
    ...onHob(kitchen, go),
  ];
}

// What is put off until there is an oven: not before the dough was pressed.
const loading = ({ bundle: { plan }, retimed }) => plan.steps.find((step) => step.chain && step.mark && stepNow(retimed, step).status === "open");

function onHob(kitchen, go) {
  return [
    el("h3", {}, kitchen.phrase("on the hob")),
    ...hobWords(kitchen, doughFactor(kitchen)),
    button(kitchen.phrase("bake it on the hob"), go(() => toTheHob(kitchen)), { kind: "wide", pic: "good", key: "on-the-hob", says: true }),
  ];
}
