// Where the dough is to be carried by the way that was taken: what is due now, and what comes.

import { button, el, picture } from "../lib/dom.js";
import { stillSaid } from "../now/journal.js";

const MOVE_SHOWN_S = 1800; // so long a move that is due is shown, unless it was said to be done

export function drawCarry(kitchen, { step }) {
  const { retimed, state } = kitchen;
  const now = kitchen.now();
  const due = dueMove(kitchen, now);
  const warm = step.kind === "preheat" && state.moves.some((move) => move.place === "warm" && move.at <= now);
  const rows = [
    due ? row(kitchen, "Now", kitchen.words.carry[due.place], button("It is there", () => kitchen.tell(["moved", { place: due.place }]), { kind: "quiet", key: `carried-${due.at}`, says: true })) : null,
    warm ? row(kitchen, "First", "out of the oven with the dough, if that is the warm spot") : null,
    ...retimed.moves.map((move) => row(kitchen, kitchen.format.dayClock(move.at, now), kitchen.words.carry[move.place])),
  ].filter(Boolean);
  return rows.length > 0 ? el("section", { class: "carry", "aria-label": "Where the dough goes" }, el("ul", {}, rows)) : null;
}

// The last one that the way asked for, as long as nobody said where the dough went.
function dueMove({ state, events }, now) {
  const { way } = state;
  const moved = stillSaid(events).filter((event) => event.kind === "moved");
  const last = way ? state.moves.filter((move) => move.at >= way.at && move.at <= now).pop() : null;
  return last && last.at > now - MOVE_SHOWN_S && !moved.some((event) => event.at >= last.at) ? last : null;
}

function row(kitchen, when, words, act = null) {
  return el("li", { class: "carry__row" }, picture("dough"), el("span", { class: "carry__what" }, el("strong", { class: "num" }, when), ` ${words}`), act);
}
