// What was said last, and one tap to take it back.

import { button, el, say } from "../lib/dom.js";
import { duration, five, trimmed } from "../lib/format.js";
import { doWords, doneWord, small } from "../lib/labels.js";
import { fold, ofThisDough, stillSaid } from "../now/journal.js";
import { retime } from "../now/retime.js";
import { stepNow } from "../plan/retimed.js";
import { linesOf } from "./weigh_list.js";

// The words of each kind of event; what has a switch of its own on the screen is not taken back here.
const WORDS = {
  done: ({ data, at }, kitchen) => {
    const step = kitchen.bundle.plan.steps.find((one) => one.step_id === data.step_id);
    return step && kitchen.phrase("said done", { done: doneWord(kitchen, step.kind), at: kitchen.format.dayClock(at, kitchen.now()) });
  },
  glass: ({ data }, kitchen) => kitchen.phrase("glass", { times: trimmed(data.times, 2) }),
  room: ({ data }, kitchen) => kitchen.phrase("room", { heat: kitchen.format.heat(data.temp_c) }),
  dough: ({ data }, kitchen) => kitchen.phrase("dough", { heat: kitchen.format.heat(data.temp_c) }),
  "left-out": ({ data }, kitchen) => {
    const step = kitchen.bundle.plan.steps.find((one) => one.step_id === data.step_id);
    return step && kitchen.phrase("left out", { step: step.title });
  },
  moved: ({ data }, kitchen) => kitchen.phrase("dough moved", { place: kitchen.words.places[data.place] ?? kitchen.phrase("somewhere else") }),
  later: ({ data }, kitchen) => kitchen.phrase("put off until", { at: kitchen.format.dayClock(data.until, kitchen.now()) }),
  supper: ({ data }, kitchen) => kitchen.phrase("supper moved", { at: kitchen.format.dayClock(data.instant, kitchen.now()) }),
  pan: ({ data }, kitchen) => kitchen.phrase("other pan", { pan: data.name || (kitchen.format.massUnit === "oz" ? `${Math.round(data.area_cm2 / 6.4516)} in²` : `${Math.round(data.area_cm2)} cm²`) }),
  looked: ({ data }, kitchen) => kitchen.phrase("it looks", { said: small(kitchen.words.looks[data.seen] ?? kitchen.phrase("as told")) }),
  poked: ({ data }, kitchen) => kitchen.phrase("poked", { said: small(kitchen.words.pokes[data.springs] ?? kitchen.phrase("as told")) }),
  baking: ({ data }, kitchen) => kitchen.phrase("looks in the oven", { said: small(kitchen.words.baking[data.seen] ?? kitchen.phrase("as told")) }),
  yeast: ({ data }, kitchen) => kitchen.phrase("yeast", { yeast: small(linesOf({ bundle: kitchen.bundle, state: data }).find((one) => one.kind === "yeast")?.name ?? kitchen.phrase("another")) }),
  tray: (_, kitchen) => kitchen.phrase("all on the tray"),
  way: ({ data }, kitchen) => kitchen.phrase(data.way === "as-planned" ? "going on" : data.asked ? "taken" : "changed", { way: wayWords(data, kitchen) }),
};

function wayWords({ press, load, supper, moves }, kitchen) {
  const words = doWords(kitchen, { press_at: press, load_at: load, moves: Array.isArray(moves) ? moves : [] });
  return kitchen.phrase("way and supper", { way: small(words), at: kitchen.format.dayClock(supper, kitchen.now()) });
}

// A way follows a reading: in journals of before what was said in one second has no order of its own.
function lastOf(said) {
  const last = said[said.length - 1];
  return said.filter((event) => event.logged_at === last.logged_at && (event.kind === "way" || event.kind === "baking")).pop() ?? last;
}

// "Pressed out, 16:52"; "" for what has a switch of its own.
export const eventWords = (event, kitchen) => (event.kind in WORDS && WORDS[event.kind](event, kitchen)) || "";

const MOVED_S = 600; // less than that is no news
let seen = { key: "" }; // what became of the last thing that was said: worked out once

// Why times are not what they were: against what stood there before it was said; of supper, as if everything had gone by the
// clock; of the dough, by all that had been seen of it: told once, it is no news at the next mark.
function movedWords(kitchen, said) {
  const { bundle: { plan }, events, format, now } = kitchen;
  const last = lastOf(said);
  const key = `${last.event_id} ${plan.revision} ${events.length}`;
  if (seen.key !== key) {
    const led = last.kind === "way" && !last.data.asked ? said[said.indexOf(last) - 1] : null; // the reading it was taken for
    const without = events.filter((event) => event.event_id !== last.event_id && event.event_id !== led?.event_id);
    const state = fold(plan, without);
    const before = retime(plan, state, 0);
    const then = last.kind === "done" && before.steps.find((step) => step.step_id === last.data.step_id);
    // As if it had been done in time: a step at whose end nothing is said yet is taken to begin only now.
    const at = then ? Math.min(last.at, then.end - 1) : last.at;
    seen = { key, before, then, stood: retime(plan, state, at), after: retime(plan, fold(plan, events), last.at) };
  }
  const { before, then, stood, after } = seen;
  const clock = (at) => format.dayClock(five(at), now());
  const next = plan.steps.find((step) => step.mark && stepNow(after, step).status === "open" && stepNow(after, step).best_at > 0 && stepNow(stood, step).best_at > 0);
  const [was, is] = [stood, after].map((one) => next && stepNow(one, next).best_at);
  // In its own minutes it is in time; late it is against the end of the work, and early against the beginning that a card tells.
  const due = then ? Math.min(Math.max(last.at, then.start), then.end) : last.at;
  const late_s = last.at - due;
  const off = Math.abs(late_s) > MOVED_S ? `, ${kitchen.phrase(late_s > 0 ? "said late" : "said early", { off: duration(late_s), at: clock(due) })}` : "";
  const news = [
    next && Math.abs(is - was) > MOVED_S && ` ${kitchen.phrase(next.kind === "load" ? "best for the oven" : "best to press", { at: clock(is), was: clock(was), late: is - stepNow(after, next).start > MOVED_S && was - stepNow(stood, next).start <= MOVED_S ? kitchen.phrase("too late for supper") : "" })}`,
    after.eat_at !== before.eat_at && last.kind !== "way" && ` ${kitchen.phrase("supper is now at", { at: clock(after.eat_at), was: clock(before.eat_at) })}`,
  ].filter(Boolean);
  return [news.length > 0 ? `${off}.${news.join("")}` : off, after.eat_at !== before.eat_at];
}

const LISTED = ["pan", "yeast", "poured", "weighed", "undo"]; // changes what is weighed out

// What came of a sheet, which may stand far from where it was opened: brought up, heard, and there for who goes on by keys.
export function showSaid(kind) {
  const [bar, list, grown] = [".undo-bar", ".weigh", "[data-mended]"].map((one) => document.querySelector(one));
  const place = list && LISTED.includes(kind) ? document.getElementById("now-title") : bar;
  place?.scrollIntoView({ block: "nearest", behavior: "instant" });
  place?.focus({ preventScroll: true });
  const words = kind === "poured" ? grown : kind !== "undo" && bar;
  if (words) {
    say(words.textContent);
  }
}

export function undoBar(kitchen) {
  const said = ofThisDough(kitchen.bundle.plan, stillSaid(kitchen.events)).filter((event) => event.kind in WORDS);
  const last = lastOf(said);
  const words = last && eventWords(last, kitchen);
  if (!words) {
    return null;
  }
  const back = () => (last.kind === "done" ? kitchen.undoStep(last.data.step_id) : kitchen.undo((event) => event.event_id === last.event_id || (event.kind === "left-out" && event.kind === last.kind && event.at === last.at)));
  const [news, moved] = movedWords(kitchen, said);
  const rings = ["later", "supper", "way"].includes(last.kind) || moved ? kitchen.bundle.calendar : ""; // steps moved
  return el(
    "div",
    { class: "undo-bar", tabindex: "-1" },
    el("span", {}, words, el("span", { class: "soft" }, news)),
    rings && el("a", { href: `/bakes/${kitchen.shown}#take` }, rings),
    button(kitchen.phrase("take back"), back, { kind: "quiet", pic: "undo", key: `take-back ${last.event_id}`, label: kitchen.phrase("take back what", { what: words }), says: true }),
    last.kind === "way" && !last.data.asked ? button(kitchen.phrase("other ways"), () => kitchen.open("ways"), { kind: "quiet", key: "other-ways" }) : null,
  );
}
