// The dough goes somewhere else than planned.

import { el } from "../lib/dom.js";
import { capital } from "../lib/labels.js";
import { answers, sheet } from "../lib/sheet.js";
import { RESTING_PLACES } from "../now/taken.js";

export function open(kitchen) {
  const move = (place) => {
    page.close();
    kitchen.tell(["moved", { place }]);
  };
  const page = sheet(
    "Where is the dough now?",
    el("p", {}, `From now until the next step. Cover it wherever it goes; the warm spot must stay under ${kitchen.format.heat(35)}.`),
    answers(RESTING_PLACES.filter((place) => place !== kitchen.retimed.place).map((place) => [capital(kitchen.words.places[place]), place]), move),
  );
}
