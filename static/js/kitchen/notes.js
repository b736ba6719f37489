// What has to be said on top of the screen: storage, clock, server, versions. Plain words, and what to do about it.

import { appliedSeconds, goByServer, isAtLeast, isRight, isSure, wrongBy } from "../lib/clock.js";
import { button, el, notice, picture } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { CLOCK_OFF_S, SENT } from "../lib/log.js";
import { stillSaid } from "../now/journal.js";
import { drawAhead } from "./ahead.js";

export function drawNotes(kitchen) {
  const { notes } = kitchen;
  return [
    notes.full && fullNote(kitchen),
    notes.memory && memoryNote(notes.memory),
    notes.closed && notice("careful", el("p", {}, "A newer version of the kitchen is open in another window. This one keeps nothing any more."), button("Load it here too", () => location.reload(), { key: "reload" })),
    clockNote(kitchen),
    drawAhead(kitchen),
    doughNote(kitchen),
    kitchen.unfolded && misfitNote(kitchen), // it is not urgent: what stands above it is here first
    notes.unknown && notice("careful", el("p", {}, "The server does not know this phone (any more). New plans need it to join again."), el("p", {}, el("a", { href: "/join" }, "Join from another phone"))),
    notes.left.length > 0 && leftNote(kitchen),
    refusedNote(kitchen.events.filter((event) => event.sent === SENT.refused).length),
    notes.rejected && notice("careful", el("p", {}, `The server answers, but takes nothing: ${notes.rejected} What you tap stays here and is sent again.`)),
    notes.newer && told(kitchen, "newer"),
    notes.update && updateNote(kitchen, notes.update),
    notes.insecure && told(kitchen, "insecure"),
    notes.unkept === "not yet" && told(kitchen, "unkept"),
    notes.unpacked && notice("careful", el("p", {}, notes.unpacked)),
    notes.waiting?.why === "silent" && el("p", { class: "soft waiting" }, waitingWords(kitchen, notes.waiting.count)),
  ];
}

const WENT = [[true, "given up"], [false, "deleted"], [undefined, "given up or deleted"]]; // a version before kept no more

function leftNote(kitchen) {
  const lines = WENT.flatMap(([was, words]) => {
    const titles = kitchen.notes.left.filter(([, , givenUp]) => givenUp === was).map(([, title]) => title);
    return titles.length > 0 ? [el("p", {}, `${titles.join(", ")}: ${words}. ${titles.length > 1 ? "They ring" : "It rings"} no more.`)] : [];
  });
  return notice("", ...lines, button("Understood", () => understood(kitchen), { kind: "quiet" }));
}

function understood(kitchen) {
  kitchen.note("left", []);
  kitchen.store.setMeta("left", []).catch(() => {});
}

// In the words that came with the bake.
function told({ words }, note) {
  return words?.help[note] ? notice("careful", el("p", {}, words.help[note])) : null;
}

// Beside the bake's name, in room that is kept for it: that something stands below, and the way there.
export function drawNotesMark(notes) {
  const count = notes.querySelectorAll(".notice").length;
  if (count === 0) {
    return null;
  }
  const go = () => document.getElementById("notes").scrollIntoView({ block: "center" });
  const words = count === 1 ? "One note below" : `${count} notes below`;
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
  return notice("careful", el("p", {}, words), ...answers.map(([answer, revision]) => button(answer, () => say(revision), { kind: "quiet", says: true })));
}

// Hours, fridge or oven were changed since the bake was planned.
function misfitNote({ bundle, retimed, now }) {
  const isAhead = ({ step_id, until }) => until >= now() && retimed?.steps.some((one) => one.step_id === step_id && one.status === "open");
  const ahead = (bundle?.unfit ?? []).filter(isAhead);
  const first = ahead.filter(({ of }, i) => !of || ahead.findIndex((one) => one.of === of) === i); // of several steps alike all that are ahead
  const lines = first.map(({ words }) => el("p", {}, words));
  return lines.length > 0 && notice("careful", ...lines, el("p", {}, el("a", { href: `/bakes/${bundle.plan.bake_id}` }, "See the day anew")));
}

function waitingWords(kitchen, count) {
  if (count > 0) {
    return `${count === 1 ? "One entry waits" : `${count} entries wait`} in this phone for the server.${kitchen.notes.full ? "" : " Nothing is lost."}`;
  }
  const words = !kitchen.whole ? ", and a part of this screen is not here yet." : kitchen.notes.unkept ? ". Leave this page open: it is not kept in this phone." : ". The kitchen needs nothing from it.";
  return `The server does not answer${words}`;
}

function refusedNote(count) {
  return count > 0 && notice("careful", el("p", {}, `The server did not take ${count === 1 ? "one entry" : `${count} entries`}. They stay in this phone.`));
}

// Over the step: who asked for another page must see at once why this one stands here.
export function drawInstead(kitchen) {
  const page = new URLSearchParams(location.search).get("instead");
  if (!page) {
    return null;
  }
  const answers = kitchen.unfolded && !kitchen.notes.waiting;
  const words = answers ? "The server answers again." : "The server does not answer: here is the kitchen, which works without it.";
  return el("p", { class: "instead", key: "instead" }, el("span", {}, `${words} `), el("a", { href: /^\/[^/\\]/.test(page) ? page : "/" }, answers ? "Open that page" : "Try again"));
}

function fullNote(kitchen) {
  return notice("careful", el("p", {}, el("strong", {}, "This phone’s storage is full, or does not answer. "), "What you tapped is held while this page stays open. Free some space."), button("Try again now", () => kitchen.keepAgain(), { kind: "quiet", key: "keep-again" }));
}

function memoryNote(why) {
  const words = {
    none: "This browser keeps nothing (a private window?). Leave this page open: what you tap goes to the server alone.",
    newer: "This phone’s kitchen was written by a newer version of the app. Load the page again with the server in reach.",
    slow: "This phone’s storage does not answer. Leave this page open: what you tap goes to the server alone. Close the other windows, or start the browser anew.",
    blocked: "Another window has an older version. Close the other windows, and load this page again.",
  };
  return notice("careful", el("p", {}, words[why]));
}

// Shown, never silently corrected: the person decides which clock counts.
function clockNote(kitchen) {
  const off = wrongBy();
  const by = `${duration(off)} ${off > 0 ? "behind" : "ahead of"} the server’s`;
  const own = button("Go by this phone again", () => useClock(kitchen, 0), { kind: "quiet", key: "own-clock" });
  if (!isSure() && Math.abs(off) >= CLOCK_OFF_S) {
    const words = `This phone slept, or its clock was set: the time here${kitchen.format ? `, ${kitchen.format.clock(kitchen.now())},` : ""} may be ${by}. Look at another clock.`;
    return notice("careful", el("p", {}, words), button("It is right", () => trust(kitchen), { kind: "quiet", key: "right-clock" }), appliedSeconds() === 0 ? null : own);
  }
  if (appliedSeconds() !== 0) {
    return notice("", el("p", {}, "Times here go by the server’s clock, not by this phone’s."), own);
  }
  if (Math.abs(off) < CLOCK_OFF_S) {
    return null;
  }
  if (isAtLeast()) {
    return unlikelyNote(kitchen, off);
  }
  const words = `This phone’s clock is ${by}. The steps here ring by the phone’s clock. Set the phone right, or go by the server’s.`;
  return notice("careful", el("p", {}, words), button("Go by the server’s clock", () => useClock(kitchen, off), { kind: "quiet", key: "server-clock" }));
}

// No server has told, but the bake was packed at a time that is still to come.
function unlikelyNote({ bundle, format, words, now }, by) {
  return bundle && notice("careful", el("p", {}, words.help["clock-behind"]?.replace("{by}", duration(by)).replace("{clock}", format.dayClock(now() + by, now()))));
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
    return el("p", { class: "soft waiting" }, "A new version of the kitchen is there. It waits until no step is running.");
  }
  return notice("", el("p", {}, "A new version of the kitchen is ready."), button("Use it now", update.take, { kind: "quiet", key: "take-over" }));
}
