// How warm it is, by a thermometer: in the kitchen, or in the dough, and since when. The times follow from what was measured.

import { roomAt, roomPath } from "../plan/rise.js";
import { el, saying } from "../lib/dom.js";
import { observe } from "../state/observed.js";
import { form, heatField, sheet } from "../lib/sheet.js";

const HOUR_S = 3600;
const COLD_C = 12; // a dough that was so cold was in the fridge: it has not been long as it is

// `kind`: "room" or "dough", as the journal knows it.
export function open(kitchen, kind) {
  const { title, label, thought, least_c, most_c, words, more } = (kind === "room" ? room : dough)(kitchen);
  const { field, read } = heatField(label, kitchen.format, thought, least_c, most_c);
  let since = null;
  const send = (complain) => {
    const temp_c = read(complain);
    const data = since ? { temp_c, since } : { temp_c };
    since = null;
    if (temp_c !== null) {
      page.close();
      observe(kitchen, kind, data);
    }
  };
  const asked = form(kitchen.phrase("so warm it is"), send, field);
  const pick = (from) => ({ click: () => (since = from) });
  asked.append(...sinces(kitchen, kind).map(([said, from]) => (
    el("button", { class: "button button--quiet", type: "submit", ...saying(), on: pick(from) }, said)
  )));
  const page = sheet(title, el("p", {}, words), asked, more ? el("p", { class: "soft" }, more) : "");
}

// Since when it may have been so, where a mixed dough has stood out for longer than an hour: [words, instant].
function sinces(kitchen, kind) {
  const { retimed, format, now } = kitchen;
  const { place, curve } = retimed;
  const mixed = curve[0].at;
  const stands = place === "bench" && (kind === "room" || !curve.some(({ at, dough_c }) => at <= now() && dough_c < COLD_C));
  const hour = now() - HOUR_S;
  return stands && mixed < hour ? [[kitchen.phrase("so for an hour"), hour], [kitchen.phrase("so since", { at: format.clock(mixed) }), mixed]] : [];
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
