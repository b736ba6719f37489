// Read the glass: the piece of dough in a straight-sided glass shows how far the whole has risen. One tap writes it down; what
// follows is on the screen, and taken back there.

import { el } from "../lib/dom.js";
import { observe } from "../state/observed.js";
import { answers, form, numberField, sheet } from "../lib/sheet.js";

const MOST_TIMES = 12;
const GROWN = [1.25, 1.5, 1.75, 2, 2.25, 2.5, 3];

export function open(kitchen) {
  const { input, field } = numberField(kitchen.phrase("or exactly"), "×", { min: 1, max: MOST_TIMES, step: "0.05" });
  const keep = (times) => {
    page.close();
    observe(kitchen, "glass", { times });
  };
  const send = (complain) => {
    const times = Number(input.value.replace(",", "."));
    if (!(times >= 1 && times <= MOST_TIMES)) {
      complain(kitchen.words.help["no-glass"] ?? "1 … 12");
    } else {
      keep(times);
    }
  };
  const page = sheet(
    kitchen.phrase("glass height"),
    el("p", {}, kitchen.words.help.glass),
    answers(GROWN.map((times) => [`×${times}`, times]), keep),
    form(kitchen.phrase("the glass reads this"), send, field),
  );
}
