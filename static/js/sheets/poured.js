// Too much went in: what is dry on top is spooned off, a little salt, fat or yeast is lived with, else everything rises in
// proportion.

import { LIVED, lineId, percentOf } from "../scale/mending.js";
import { button, el } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { answers, form, numberField, preview, sheet } from "../lib/sheet.js";

const A_LITTLE = 1.25; // times the yeast: as wrong as a spoon of it may be, and supper holds (words/plan/weights.py)
const PACE = 0.6; // the rate goes as this power of the yeast (core/rise/pace.py)
const DRY = ["salt", "sugar", "flour"]; // on top of the rest it can be spooned off again

// `list()`: the lines of the list with what the scale should show of each (`rows`), and every line of the dough (`all`), as
// they stand now: what another phone says meanwhile is shown before anything is taken.
export function open(kitchen, list) {
  const page = sheet("Too much of what?", answers(list().rows.map(({ line }) => [line.name, line]), (line) => ask(kitchen, page, list, line)));
}

const askedOf = (list, id) => list().rows.find((row) => lineId(row.line) === id)?.target ?? NaN;

function ask(kitchen, page, list, line) {
  const { format } = kitchen;
  const id = lineId(line);
  const { input, field } = numberField(`${line.name}: the scale shows`, format.massUnit, { min: 0, id: `poured-${id}` });
  const { place, show } = preview();
  const send = (complain) => {
    const grams = format.massIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(grams > 0 && grams < 50000)) {
      complain("Give what the scale shows for this line.");
      return;
    }
    if (grams > askedOf(list, id) && (DRY.includes(line.kind) || LIVED[line.kind] || line.kind === "yeast")) {
      choose(kitchen, page, list, { line, id, grams });
    } else {
      page.close();
      grow(kitchen, id, grams * (line.share ?? 1));
    }
  };
  const said = kitchen.state.poured.some((one) => one.line === id);
  const back = () => {
    page.close();
    kitchen.undo((event) => (event.kind === "poured" || event.kind === "weighed") && event.data.line === id);
  };
  page.fill(
    place,
    form("That much is in", send, field),
    ...(said ? [button("It was not more after all", back, { kind: "quiet wide", pic: "undo", key: "poured-back", says: true })] : []),
  );
  show(() => [el("p", {}, `${format.grams(askedOf(list, id))} was asked for.`)], "nearest");
  input.focus();
}

const grow = (kitchen, line, grams, more = {}) => kitchen.tell(["poured", { line, grams, ...more }], ["weighed", { line, grams }]);

// What was said before to stay does not stay any more.
async function spooned(kitchen, line, grams) {
  await kitchen.undo((event) => event.kind === "poured" && event.data.line === line);
  await kitchen.tell(["weighed", { line, grams }]);
}

// What cannot be taken out any more makes a bigger dough; all else is better.
function choose(kitchen, page, list, { line, id, grams }) {
  const { format } = kitchen;
  const { place, show, again } = preview();
  const figures = () => {
    return { target: askedOf(list, id), share: percentOf(line.kind, list().all, new Map([[id, grams]])) };
  };
  const view = () => {
    const seen = figures();
    const { target, share } = seen;
    const say = (words, what, key) => button(words, () => take(seen, what), { kind: "quiet wide", key, says: true });
    if (!(grams > target)) {
      return [el("p", {}, `${format.grams(target)} is asked for by now: that is not too much.`), say("That much is in", () => kitchen.tell(["weighed", { line: id, grams }]), "over-in")];
    }
    if (line.kind === "yeast") {
      const told_g = grams * (line.share ?? 1);
      return [
        el("p", {}, yeastWords(kitchen, line, target, grams)),
        grams / target <= A_LITTLE && say("It stays as it is", () => grow(kitchen, id, told_g, { kept: true }), "over-1"),
        say("It stays, and all else grows with it", () => grow(kitchen, id, told_g), "over-2"),
      ];
    }
    const lived = share <= LIVED[line.kind];
    const dry = DRY.includes(line.kind);
    return [
      el("p", {}, `${format.grams(grams - target)} too much.${(dry && kitchen.words.help.dry) || ""}`),
      lived && el("p", {}, `It may stay: ${trimmed(share, 1)} % of the flour in place of ${trimmed(percentOf(line.kind, list().all), 1)} %.`),
      dry && say(`I spoon ${format.grams(grams - target)} off`, () => spooned(kitchen, id, target), "over-0"),
      lived && say(`It stays: ${trimmed(share, 1)} % ${line.kind}`, () => grow(kitchen, id, grams, { kept: true }), "over-1"),
      say("It stays, and all else grows with it", () => grow(kitchen, id, grams), "over-2"),
    ];
  };
  const take = (seen, what) => {
    const now = figures();
    if (now.target !== seen.target || now.share !== seen.share) {
      again(); // what is asked for has changed: that is shown first
      return;
    }
    page.close();
    what();
  };
  page.fill(place);
  show(view, "nearest");
}

// More yeast is a quicker dough; that which comes in water brings water too.
function yeastWords({ format, words: { help } }, line, target, grams) {
  const times = grams / target;
  const percent = (part) => trimmed((part - 1) * 100, 0);
  const said = [help["more-yeast"], line.share ? help["more-yeast-water"] : "", help["grown-yeast"]].filter(Boolean).join(" ");
  return said.replaceAll("{percent}", percent(times)).replace("{quick}", percent(times ** PACE)).replace("{water}", format.grams((grams - target) * (1 - line.share)));
}
