// The dough goes somewhere else than planned.

import { el } from "../lib/dom.js";
import { capital } from "../lib/labels.js";
import { answers, sheet } from "../lib/sheet.js";
import { RESTING_PLACES } from "../plan/kinds.js";
import { isInOven, isLit } from "../state/warm_oven.js";

const MOST_WARM_C = 35; // as the settings take of a warm spot

export function open(kitchen) {
  const move = (place) => {
    page.close();
    kitchen.tell(["moved", { place }]);
  };
  const lit = isLit(kitchen);
  const places = RESTING_PLACES.filter((place) => place !== kitchen.retimed.place && !(lit && place === "warm"));
  const page = sheet(
    kitchen.phrase("where is it"),
    el("p", {}, lit ? kitchen.phrase(isInOven(kitchen) ? "take it out first" : "the oven is hot") : kitchen.phrase("until the next step", { warm: kitchen.format.heat(MOST_WARM_C) })),
    answers(places.map((place) => [capital(kitchen.words.places[place]), place]), move),
  );
}
