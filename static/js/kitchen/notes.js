// What has to be said on top of the screen: storage, clock, server, versions. Plain words, and what to do about it.

import { CLOCK_OFF_S, appliedSeconds, goByServer, isAtLeast, isRight, isSure, wrongBy } from "../lib/clock.js";
import { button, el, notice, picture } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { LEFT_US, MEMORY } from "../lib/labels.js";
import { SENT } from "../lib/log.js";
import { stillSaid } from "../now/journal.js";
import { isMixed } from "../state/on_the_screen.js";
import { unusedHere } from "../state/unused.js";
import { drawAhead } from "./ahead.js";

export function drawNotes(kitchen) {
  const { notes } = kitchen;
  return [
    notes.full && fullNote(kitchen),
    notes.memory && careful(MEMORY[notes.memory]),
    notes.closed && careful(kitchen.phrase("newer in another window"), button(kitchen.phrase("load it here too"), () => location.reload(), { key: "reload" })),
    clockNote(kitchen),
    drawAhead(kitchen),
    kitchen.bake && unusedNote(kitchen),
    doughNote(kitchen),
    kitchen.allDrawn && misfitNote(kitchen), // it is not urgent: what stands above it is here first
    notes.unknown && careful(kitchen.phrase("the server forgot this phone"), el("p", {}, el("a", { href: "/join" }, kitchen.phrase("join from another phone")))),
    notes.left.length > 0 && leftNote(kitchen),
    refusedNote(kitchen, kitchen.events.filter((event) => event.sent === SENT.refused).length),
    notes.rejected && careful(kitchen.phrase("the server takes nothing", { why: notes.rejected })),
    notes.newer && told(kitchen, "newer"),
    notes.update && updateNote(kitchen, notes.update),
    notes.insecure && told(kitchen, "insecure"),
    notes.unkept === "soon" && told(kitchen, "unkept"),
    notes.unpacked && careful(kitchen.phrase("free space and open it again")),
    notes.waiting?.why === "silent" && el("p", { class: "soft waiting" }, waitingWords(kitchen, notes.waiting.count)),
  ];
}

const careful = (words, ...kids) => notice("careful", el("p", {}, words), ...kids);

function leftNote(kitchen) {
  const lines = [true, false, undefined].map((was) => { // a version before kept no more than that it went
    const names = kitchen.notes.left.filter(([, , givenUp]) => givenUp === was).map(([, title]) => title);
    return names.length > 0 && el("p", {}, `${names.join(", ")}: ${LEFT_US[was]}. ${names.length > 1 ? LEFT_US.more : LEFT_US.one}`);
  });
  return notice("", ...lines, button(LEFT_US.read, () => understood(kitchen), { kind: "quiet" }));
}

function understood(kitchen) {
  kitchen.note("left", []);
  kitchen.store.setMeta("left", []).catch(() => {});
}

// In the words that came with the bake.
function told({ words }, note) {
  return words?.help[note] ? careful(words.help[note]) : null;
}

// Beside the bake's name, in room that is kept for it: that something stands below, and the way there.
export function drawNotesMark(kitchen, notes) {
  const count = notes.querySelectorAll(".notice").length;
  if (count === 0) {
    return null;
  }
  const go = () => document.getElementById("notes").scrollIntoView({ block: "center" });
  const words = count === 1 ? kitchen.phrase("one note below") : kitchen.phrase("notes below", { count });
  return el("button", { class: "notes-mark", type: "button", "data-key": "notes-mark", "aria-label": words, on: { click: go } }, picture("caution"), count > 1 ? String(count) : null);
}

// Another dough than that of the newest plan was mixed: what was mixed is shown, and asked about.
function doughNote(kitchen) {
  const { words, by, answers, steps } = kitchen.bundle?.question ?? {};
  const isMixing = ({ kind, data }) => kind === "done" && steps.includes(data.step_id);
  const said = words ? stillSaid(kitchen.events) : [];
  if (!said.some(isMixing) || by.includes(kitchen.phone) || said.some(({ kind }) => kind === "settled")) {
    return null;
  }
  const say = (revision) => (revision ? kitchen.tell(["settled", { revision }]) : kitchen.undo(isMixing));
  return careful(words, ...answers.map(([answer, revision]) => button(answer, () => say(revision), { kind: "quiet", says: true })));
}

// Said once: another dough stands there now than the one that was mixed here.
function unusedNote(kitchen) {
  const { at, back } = unusedHere(kitchen);
  const ids = back.map((one) => one.event_id);
  if (ids.length === 0) {
    return null;
  }
  const read = () => {
    kitchen.note("read", [...kitchen.notes.read, ...ids]);
    kitchen.store.setMeta("read", kitchen.notes.read).catch(() => {});
  };
  const words = kitchen.phrase("not used", { at: kitchen.format.dayClock(at, kitchen.now()) });
  return notice("careful", el("p", {}, words), button(kitchen.phrase("understood"), read, { kind: "quiet", key: "unused-read" }), button(kitchen.phrase("go on with it after all"), () => kitchen.tell(...ids.map((event_id) => ["undo", { event_id }])), { kind: "quiet", says: true, key: "unused-back" }));
}

// Hours, fridge or oven were changed since the bake was planned: a dough that is made has its ways here, another its new days.
function misfitNote(kitchen) {
  const { bundle, retimed, now } = kitchen;
  const isAhead = ({ step_id, until }) => until >= now() && retimed?.steps.some((one) => one.step_id === step_id && one.status === "open");
  const ahead = (bundle?.unfit ?? []).filter(isAhead);
  const first = ahead.filter(({ of }, i) => !of || ahead.findIndex((one) => one.of === of) === i); // of several steps alike all that are ahead
  const lines = first.map(({ words }) => el("p", {}, words));
  if (lines.length === 0) {
    return null;
  }
  const words = kitchen.phrase("see the day anew");
  const way = isMixed(kitchen) ? button(words, () => kitchen.open("ways"), { kind: "quiet", key: "anew" }) : el("p", {}, el("a", { href: `/bakes/${bundle.plan.bake_id}/anew` }, words));
  return notice("careful", ...lines, way);
}

function waitingWords(kitchen, count) {
  if (count > 0) {
    const waits = count === 1 ? kitchen.phrase("one entry waits") : kitchen.phrase("entries wait", { count });
    return kitchen.notes.full ? waits : `${waits} ${kitchen.phrase("nothing is lost")}`;
  }
  return kitchen.phrase(!kitchen.whole ? "no answer and not all is here" : kitchen.notes.unkept ? "no answer leave this open" : "the server does not answer");
}

function refusedNote(kitchen, count) {
  return count > 0 && careful(count === 1 ? kitchen.phrase("one entry was not taken") : kitchen.phrase("entries were not taken", { count }));
}

// Over the step: who asked for another page must see at once why this one stands here.
export function drawInstead(kitchen) {
  const page = new URLSearchParams(location.search).get("instead");
  if (!page) {
    return null;
  }
  const answers = kitchen.allDrawn && !kitchen.notes.waiting;
  const words = kitchen.phrase(answers ? "the server answers again" : "no answer so the kitchen");
  return el("p", { class: "instead", key: "instead" }, el("span", {}, `${words} `), el("a", { href: /^\/[^/\\]/.test(page) ? page : "/" }, kitchen.phrase(answers ? "open that page" : "try again")));
}

function fullNote(kitchen) {
  return notice("careful", el("p", {}, el("strong", {}, `${kitchen.phrase("storage is full")} `), kitchen.phrase("free some space")), button(kitchen.phrase("try again now"), () => kitchen.keepAgain(), { kind: "quiet", key: "keep-again" }));
}

// Shown, never silently corrected: the person decides which clock counts.
function clockNote(kitchen) {
  const by = wrongBy();
  const off = kitchen.phrase(by > 0 ? "behind the server" : "ahead of the server", { by: duration(by) });
  const own = button(kitchen.phrase("go by this phone again"), () => useClock(kitchen, 0), { kind: "quiet", key: "own-clock" });
  if (!isSure() && Math.abs(by) >= CLOCK_OFF_S) {
    const words = kitchen.phrase("look at another clock", { clock: kitchen.format?.clock(kitchen.now()), off });
    return careful(words, button(kitchen.phrase("it is right"), () => trust(kitchen), { kind: "quiet", key: "right-clock" }), appliedSeconds() === 0 ? null : own);
  }
  if (appliedSeconds() !== 0) {
    return notice("", el("p", {}, kitchen.phrase("times by the server")), own);
  }
  if (Math.abs(by) < CLOCK_OFF_S) {
    return null;
  }
  return isAtLeast() ? unlikelyNote(kitchen, by) : careful(kitchen.phrase("set the phone right", { off }), button(kitchen.phrase("go by the server"), () => useClock(kitchen, by), { kind: "quiet", key: "server-clock" }));
}

// No server has told, but the bake was packed at a time that is still to come.
function unlikelyNote({ bundle, format, words, now }, by) {
  const said = bundle && words.help["clock-behind"]; // not there in a bundle of before
  return said && careful(said.replace("{by}", duration(by)).replace("{clock}", format.dayClock(now() + by, now())));
}

function trust(kitchen) {
  isRight();
  kitchen.look();
}

function useClock(kitchen, seconds) {
  goByServer(seconds);
  kitchen.store.setMeta("clock", seconds).catch(() => {});
  kitchen.look();
}

// The new version waits while a step is running: nothing may change under floury hands.
function updateNote(kitchen, update) {
  if (update.busy) {
    return el("p", { class: "soft waiting" }, kitchen.phrase("a new version waits"));
  }
  return notice("", el("p", {}, kitchen.phrase("a new version is ready")), button(kitchen.phrase("use it now"), update.take, { kind: "quiet", key: "take-over" }));
}
