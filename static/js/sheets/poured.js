// Too much went in: what the scale shows is kept, everything else rises in proportion.

import { lineId } from "../scale/mending.js";
import { button, el } from "../lib/dom.js";
import { answers, form, numberField, sheet } from "../lib/sheet.js";

// `rows`: the lines of the list with what the scale should show of each.
export function open(kitchen, rows) {
  const page = sheet("Too much of what?", el("p", {}, "What is in stays in; all other lines grow with it."), answers(rows.map((row) => [row.line.name, row]), (row) => ask(kitchen, page, row)));
}

function ask(kitchen, page, { line, target }) {
  const { format } = kitchen;
  const id = lineId(line);
  const { input, field } = numberField(`${line.name}: the scale shows`, format.massUnit, { min: 0, id: `poured-${id}` });
  const send = (complain) => {
    const grams = format.massIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(grams > 0 && grams < 50000)) {
      complain("Give what the scale shows for this line.");
      return;
    }
    page.close();
    const own = grams * (line.share ?? 1);
    kitchen.tell(["poured", { line: id, grams: own }], ["weighed", { line: id, grams: own }]);
  };
  const said = kitchen.state.poured.some((one) => one.line === id);
  const back = () => {
    page.close();
    kitchen.undo((event) => (event.kind === "poured" || event.kind === "weighed") && event.data.line === id);
  };
  page.fill(
    el("p", {}, `${format.grams(target)} was asked for. What is in stays in; all other lines grow with it.`),
    form("That much is in", send, field),
    ...(said ? [button("It was not more after all", back, { kind: "quiet wide", pic: "undo", key: "poured-back", says: true })] : []),
  );
  input.focus();
}
