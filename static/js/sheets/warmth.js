// How warm it is, by a thermometer: in the kitchen, or in the dough. From then on the times follow from what was measured.

import { roomAt, roomPath } from "../plan/rise.js";
import { el } from "../lib/dom.js";
import { observe } from "../state/observed.js";
import { form, heatField, sheet } from "../lib/sheet.js";

// `kind`: "room" or "dough", as the journal knows it.
export function open(kitchen, kind) {
  const { title, label, thought, least_c, most_c, words, more } = (kind === "room" ? room : dough)(kitchen);
  const { field, read } = heatField(label, kitchen.format, thought, least_c, most_c);
  const send = (complain) => {
    const temp_c = read(complain);
    if (temp_c !== null) {
      page.close();
      observe(kitchen, kind, { temp_c });
    }
  };
  const page = sheet(title, el("p", {}, words), form(kitchen.phrase("so warm it is"), send, field), more ? el("p", { class: "soft" }, more) : "");
}

function room(kitchen) {
  const { bundle, state, format, now } = kitchen;
  const thought = roomAt(roomPath(bundle.plan.rise.room, state.rooms), now());
  return {
    title: kitchen.phrase("room warmth"), label: kitchen.phrase("kitchen thermometer"), thought, least_c: -10, most_c: 60,
    words: kitchen.phrase("the plan thinks", { heat: format.heat(thought) }),
  };
}

function dough(kitchen) {
  const { bundle, retimed, format, words } = kitchen;
  const mixed = retimed.place !== "";
  const thought = mixed ? retimed.dough_c : bundle.plan.rise.dough_c;
  return {
    title: kitchen.phrase("dough warmth"), label: kitchen.phrase("dough thermometer"), thought, least_c: -5, most_c: 50,
    words: kitchen.phrase(mixed ? "it should be at" : "it should come to", { heat: format.heat(thought) }),
    more: words.help["always-off"],
  };
}
