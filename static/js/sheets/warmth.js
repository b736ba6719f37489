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
  const page = sheet(title, el("p", {}, words), form("That is how warm it is", send, field), more ? el("p", { class: "soft" }, more) : "");
}

function room({ bundle, state, format, now, words }) {
  const thought = roomAt(roomPath(bundle.plan.rise.room, state.rooms), now());
  return {
    title: "How warm is it where the dough stands?", label: "The thermometer in the kitchen says", thought, least_c: -10, most_c: 60,
    words: `The plan thinks ${format.heat(thought)} now. ${words.help["room-then"] ?? ""}`,
  };
}

function dough({ bundle, retimed, format, words }) {
  const mixed = retimed.place !== "";
  const thought = mixed ? retimed.dough_c : bundle.plan.rise.dough_c;
  return {
    title: "How warm is the dough?", label: "The thermometer in the dough says", thought, least_c: -5, most_c: 50,
    words: `${mixed ? "It should be at" : "Mixed, it should come to"} ${format.heat(thought)}. ${words.help["dough-then"] ?? ""}`,
    more: words.help["always-off"],
  };
}
