// Too much went in: what is dry on top is spooned off, a little salt is lived with, else everything rises in proportion.

import { MOST_SALT, lineId, saltPercent } from "../scale/mending.js";
import { button, el } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { answers, form, numberField, sheet } from "../lib/sheet.js";

const DRY = ["salt", "sugar", "flour"]; // on top of the rest it can be spooned off again

// `rows`: the lines of the list with what the scale should show of each; `all`: every line of the dough.
export function open(kitchen, { rows, all }) {
  const page = sheet("Too much of what?", answers(rows.map((row) => [row.line.name, row]), (row) => ask(kitchen, page, all, row)));
}

function ask(kitchen, page, all, { line, target }) {
  const { format } = kitchen;
  const id = lineId(line);
  const { input, field } = numberField(`${line.name}: the scale shows`, format.massUnit, { min: 0, id: `poured-${id}` });
  const send = (complain) => {
    const grams = format.massIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(grams > 0 && grams < 50000)) {
      complain("Give what the scale shows for this line.");
      return;
    }
    const share = line.share ?? 1;
    if (grams > target && DRY.includes(line.kind)) {
      choose(kitchen, page, all, { line, target, grams });
    } else {
      page.close();
      grow(kitchen, id, grams * share);
    }
  };
  const said = kitchen.state.poured.some((one) => one.line === id);
  const back = () => {
    page.close();
    kitchen.undo((event) => (event.kind === "poured" || event.kind === "weighed") && event.data.line === id);
  };
  page.fill(
    el("p", {}, `${format.grams(target)} was asked for.`),
    form("That much is in", send, field),
    ...(said ? [button("It was not more after all", back, { kind: "quiet wide", pic: "undo", key: "poured-back", says: true })] : []),
  );
  input.focus();
}

const grow = (kitchen, line, grams, more = {}) => kitchen.tell(["poured", { line, grams, ...more }], ["weighed", { line, grams }]);

// What was said before to stay does not stay any more.
async function spooned(kitchen, line, grams) {
  await kitchen.undo((event) => event.kind === "poured" && event.data.line === line);
  await kitchen.tell(["weighed", { line, grams }]);
}

// What cannot be taken out any more makes a bigger dough; all else is better.
function choose(kitchen, page, all, { line, target, grams }) {
  const { format } = kitchen;
  const id = lineId(line);
  const salt = line.kind === "salt" ? saltPercent(all, new Map([[id, grams]])) : Infinity;
  const say = (what) => () => {
    page.close();
    what();
  };
  const ways = [
    [`I spoon ${format.grams(grams - target)} off`, () => spooned(kitchen, id, target)],
    ...(salt <= MOST_SALT ? [[`It stays: ${trimmed(salt, 1)} % salt`, () => grow(kitchen, id, grams, { kept: true })]] : []),
    ["It stays, and all else grows with it", () => grow(kitchen, id, grams)],
  ];
  page.fill(
    el("p", {}, `${format.grams(grams - target)} too much. What lies dry on top can be spooned off again.`),
    ...(salt <= MOST_SALT ? [el("p", {}, `Or the salt is lived with: ${trimmed(salt, 1)} % of the flour in place of ${trimmed(saltPercent(all, new Map()), 1)} %.`)] : []),
    ...ways.map(([words, what], i) => button(words, say(what), { kind: "quiet wide", key: `over-${i}`, says: true })),
  );
}
