// Too much went in: what is dry on top is spooned off, a little yeast, salt or fat is lived with, else everything rises in
// proportion. What each of them costs is said before it is taken.

import { LIVED, lineId, percentOf } from "../scale/mending.js";
import { button, el } from "../lib/dom.js";
import { trimmed } from "../lib/format.js";
import { answers, form, numberField, preview, sheet } from "../lib/sheet.js";
import { notMore, staysWords } from "../step/mend_notes.js";

const A_LITTLE = 1.25; // times the yeast: as wrong as a spoon of it may be, and supper holds (words/plan/weights.py)
const PACE = 0.6; // the rate goes as this power of the yeast (core/rise/pace.py)
const DRY = ["salt", "sugar", "flour"]; // on top of the rest it can be spooned off again
const LEAST_GROWN = 1.02; // less than that is no other dough
const SEEN_G = 0.005;

// `list()`: the lines of the list with what is asked for of each (`rows`), every line of the dough (`all`), and what becomes of
// it (`grown`), as they stand now: what another phone says meanwhile is shown before anything is taken. What was said of a line
// before counts no more once it is said anew.
export function open(kitchen, list) {
  const page = sheet(kitchen.phrase("too much of what"), answers(list().rows.map(({ line }) => [line.name, line]), (line) => ask(kitchen, page, list, line)));
}

const askedOf = (list, id, what = "target") => list().rows.find((row) => lineId(row.line) === id)?.[what] ?? NaN;

function ask(kitchen, page, list, line) {
  const { format } = kitchen;
  const id = lineId(line);
  const { input, field } = numberField(kitchen.phrase("all that is in", { line: line.name }), format.massUnit, { min: 0, id: `poured-${id}` });
  const { place, show } = preview();
  const isSaid = () => kitchen.state.poured.some((one) => one.line === id);
  const much = (grams) => {
    const target = askedOf(list, id);
    const one = { line, id, grams, share: line.share ?? 1 };
    const bigger = list().grown(id, grams * one.share).factor >= LEAST_GROWN;
    if (grams <= target + SEEN_G) {
      page.close();
      spooned(kitchen, id, grams * one.share);
    } else if (DRY.includes(line.kind) || LIVED[line.kind] || line.kind === "yeast" || bigger) {
      choose(kitchen, page, list, one);
    } else {
      page.close();
      grow(kitchen, id, grams * one.share);
    }
  };
  const send = (complain) => {
    const grams = format.massIn(Number(input.value.replace(",", ".")));
    if (input.value === "" || !(grams > 0 && grams < 50000)) {
      complain(kitchen.phrase("how much is in the bowl"));
    } else if (grams < askedOf(list, id) - SEEN_G) {
      show(() => tooLittle(kitchen, page, askedOf(list, id), { line, id, grams }, much), "nearest");
    } else {
      much(grams);
    }
  };
  const back = () => {
    page.close();
    notMore(kitchen, id);
  };
  page.fill(
    form(kitchen.phrase("that much is in"), send, field),
    place,
    ...(isSaid() ? [button(kitchen.phrase("it was not more"), back, { kind: "quiet wide", pic: "undo", key: "poured-back", says: true })] : []),
  );
  show(() => [el("p", {}, kitchen.phrase("asked for", { target: format.grams(askedOf(list, id)) }))]);
  input.focus();
}

// Less than what goes in: the excess alone was meant, or it is all that there is so far.
function tooLittle(kitchen, page, target, { line, id, grams }, much) {
  const { grams: said } = kitchen.format;
  const only = () => {
    page.close();
    spooned(kitchen, id, grams * (line.share ?? 1));
  };
  return [
    el("p", {}, kitchen.phrase("is less", { grams: said(grams), target: said(target) })),
    button(kitchen.phrase("so much too much", { grams: said(grams), all: said(target + grams) }), () => much(target + grams), { kind: "quiet wide", key: "too-much", says: true }),
    button(kitchen.phrase("only so much", { grams: said(grams), more: said(target - grams) }), only, { kind: "quiet wide", key: "too-little", says: true }),
  ];
}

async function grow(kitchen, line, grams, more = {}) {
  await notMore(kitchen, line);
  await kitchen.tell(["poured", { line, grams, ...more }], ["weighed", { line, grams }]);
  kitchen.more?.showSaid("poured");
}

// What was said before to stay does not stay any more.
async function spooned(kitchen, line, grams) {
  await notMore(kitchen, line);
  await kitchen.tell(["weighed", { line, grams }]);
}

// What cannot be taken out any more makes a bigger dough, or is tasted; all else is better.
function choose(kitchen, page, list, { line, id, grams, share: part }) {
  const { format } = kitchen;
  const { place, show, again } = preview();
  const figures = () => {
    const { dough_g, over_g } = list().grown(id, grams * part);
    return { target: askedOf(list, id), due: askedOf(list, id, "due"), share: percentOf(line.kind, list().all, new Map([[id, grams * part]])), dough_g, over_g };
  };
  const bigger = (seen, say) => [
    el("p", {}, grownWords(kitchen, seen)),
    say(kitchen.phrase("all grows with it", { dough: format.grams(seen.dough_g) }), () => grow(kitchen, id, grams * part), "over-2"),
  ];
  const view = () => {
    const seen = figures();
    const { target, due, share } = seen;
    const say = (words, what, key) => button(words, () => take(seen, what), { kind: "quiet wide", key, says: true });
    if (!(grams > target)) {
      return [el("p", {}, kitchen.phrase("not too much", { target: format.grams(target) })), say(kitchen.phrase("that much is in"), () => kitchen.tell(["weighed", { line: id, grams: grams * part }]), "over-in")];
    }
    if (line.kind === "yeast") {
      return [
        el("p", {}, yeastWords(kitchen, line, due, grams)),
        grams / due <= A_LITTLE && say(kitchen.phrase("it stays as it is"), () => grow(kitchen, id, grams * part, { kept: true, pace: (grams / due) ** PACE }), "over-1"),
        ...bigger(seen, say),
      ];
    }
    const percent = trimmed(share, 1);
    const dry = DRY.includes(line.kind);
    const stays = line.kind in LIVED;
    return [
      el("p", {}, kitchen.phrase(dry ? "too much and dry" : "too much", { grams: format.grams(grams - target) })),
      dry && say(kitchen.phrase("i spoon off", { grams: format.grams(grams - target) }), () => spooned(kitchen, id, target * part), "over-0"),
      stays && el("p", {}, `${kitchen.phrase("if it stays", { percent, planned: trimmed(percentOf(line.kind, list().all), 1) })}${staysWords(kitchen, line.kind, Number(percent))}`),
      stays && say(kitchen.phrase("it stays", { percent, kind: line.kind }), () => grow(kitchen, id, grams * part, { kept: true }), "over-1"),
      ...bigger(seen, say),
    ];
  };
  const take = (seen, what) => {
    const now = figures();
    if (Object.keys(seen).some((key) => now[key] !== seen[key])) {
      again(); // what is asked for has changed: that is shown first
      return;
    }
    page.close();
    what();
  };
  page.fill(place);
  show(view);
}

// More yeast is a quicker dough; that which comes in water brings water too.
function yeastWords(kitchen, line, due, grams) {
  const times = grams / due;
  const [percent, quick] = [times, times ** PACE].map((part) => trimmed((part - 1) * 100, 0));
  const water = kitchen.format.grams((grams - due) * (1 - line.share));
  return line.share ? kitchen.phrase("more yeast water", { percent, quick, water }) : kitchen.phrase("more yeast", { percent, quick });
}

// What a bigger dough is to the pan, and what becomes of the rest.
function grownWords(kitchen, { dough_g, over_g }) {
  const dough = kitchen.format.grams(dough_g);
  const pan_g = dough_g - over_g;
  return over_g > (LEAST_GROWN - 1) * pan_g
    ? kitchen.phrase("grown over the pan", { dough, pan: kitchen.format.grams(pan_g), over: kitchen.format.grams(over_g) })
    : kitchen.phrase("all grown", { dough });
}
