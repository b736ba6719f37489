// Bread from a pan on the hob, where no oven will bake this dough: how, and that this is how it was baked.

import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { stillSaid } from "../now/journal.js";
import { doughFactor } from "./other_pan.js";

const PIECE_G = 120; // pressed to 5 mm it fills a pan of 18 cm; three minutes a side (common practice)
const PIECE_S = 420; // with the changing
const DONE_C = 94;

const isHob = ({ kind, data }) => kind === "done" && data.hob === true;
// The note of it says so too; from before notes did, it is the one told in the same breath: a phone counts on by one then.
const isAhead = ({ phone, logged_at }, done) => phone === done.phone && logged_at + 1 === done.logged_at;
const isItsNote = (event, dones) => event.kind === "note" && (event.data.hob === true || dones.some((done) => isAhead(event, done)));
const lastStep = ({ steps }) => steps.filter((step) => step.chain).pop();

export const isOnHob = (kitchen) => stillSaid(kitchen.events).some(isHob);

// How it is done, and what to mind.
export function hobWords(kitchen, factor) {
  const { bundle: { plan: { dough_g, dough_perishes } }, format } = kitchen;
  const count = Math.max(1, Math.round((dough_g * factor) / PIECE_G));
  const how = kitchen.phrase("how on the hob", { count, each: format.grams((dough_g * factor) / count), minutes: duration(count * PIECE_S), done: format.heat(DONE_C) });
  return [
    ...how.split("\n").map((line) => el("p", {}, line)),
    dough_perishes ? el("p", {}, kitchen.phrase("lower heat and longer")) : null,
    notice("careful", el("p", { "data-caution": true }, kitchen.phrase("hot pan nobody leaves"))),
  ];
}

// Nothing more is asked of the oven: the bake ends here, and the book is told how.
export const toTheHob = (kitchen) =>
  kitchen.tell(["note", { text: kitchen.phrase("baked on the hob"), hob: true }], ["done", { step_id: lastStep(kitchen.bundle.plan).step_id, hob: true }]);

export function drawHob(kitchen) {
  const dones = stillSaid(kitchen.events).filter(isHob);
  const back = () => kitchen.undo((event) => isHob(event) || isItsNote(event, dones));
  return [
    el("h2", { class: "big" }, kitchen.phrase("flat bread")),
    ...hobWords(kitchen, doughFactor(kitchen)),
    button(kitchen.phrase("not on the hob"), back, { kind: "quiet", pic: "undo", key: "no-hob", says: true }),
  ];
}
