// Where the bake stands: supper, the dough, what the person must know about the times, ways out.

import { button, el, notice, picture } from "../lib/dom.js";
import { duration, trimmed } from "../lib/format.js";
import { capital } from "../lib/labels.js";
import { BAKE_KINDS } from "../plan/kinds.js";
import { timesAt } from "../pictures/reading.js";
import { currentOf, isInHand } from "../state/on_the_screen.js";
import { dueMove } from "../step/also_due.js";
import { stepNow } from "../plan/retimed.js";
import { isForTheBin } from "./out_of_fridge.js";

const READY_EARLY_S = 3600;

// So long before supper what is ready is not on time any more.
export const isReadyEarly = (retimed) => retimed.supper - retimed.ready_at > READY_EARLY_S;

export function drawStanding(kitchen) {
  const { retimed } = kitchen;
  const open = retimed.current !== "" && !isForTheBin(kitchen); // of what is thrown away no time matters
  return el(
    "section",
    { class: "stack stack--tight standing", "aria-label": kitchen.phrase("where it stands") },
    open ? supperLine(kitchen) : null,
    zoneLine(kitchen),
    open && retimed.place && retimed.place !== "oven" && retimed.place !== "none" ? doughLine(kitchen) : null,
    ...(open ? flagNotices(kitchen) : []),
    ...retimed.outside.map((word) => notice("careful", el("p", {}, kitchen.words.outside[word]))),
  );
}

// Whose clock the times are by, where it is not the phone's.
function zoneLine({ bundle: { plan }, format, words, now }) {
  const apart = [now(), plan.supper].some((at) => format.here(at, now()));
  const said = format.isKnown ? apart && words.help.zone : words.help["no-zone"];
  return said && el("p", { class: "soft" }, said.replace("{zone}", format.place));
}

function supperLine(kitchen) {
  const { retimed, format } = kitchen;
  const clock = (at) => format.bothClocks(at, kitchen.now());
  const helps = isInHand(retimed) ? button(kitchen.phrase("what helps here"), () => kitchen.open("ways"), { kind: "quiet", key: "helps" }) : null;
  if (isReadyEarly(retimed)) {
    return notice(
      "careful",
      el("p", {}, el("strong", {}, kitchen.phrase("ready", { at: clock(retimed.ready_at) })), `, ${kitchen.phrase("before supper", { early: duration(retimed.supper - retimed.ready_at), supper: clock(retimed.supper) })}`),
      helps,
    );
  }
  if (retimed.eat_at <= retimed.supper) {
    const words = kitchen.phrase(kitchen.state.supper === kitchen.state.wanted ? "supper on time" : "supper as agreed", { at: clock(retimed.eat_at) });
    return el("p", { class: "standing__line" }, picture("supper"), el("span", {}, words));
  }
  return notice(
    "careful",
    el("p", {}, el("strong", {}, kitchen.phrase("supper", { at: clock(retimed.eat_at) })), `, ${kitchen.phrase("later than wanted", { late: duration(retimed.eat_at - retimed.supper) })}`),
    helps,
  );
}

function doughLine(kitchen) {
  const { retimed, format } = kitchen;
  const times = (progress) => timesWords(kitchen, progress);
  const low = times(retimed.progress_low);
  const high = times(retimed.progress_high);
  const where = kitchen.words.places[retimed.place] ?? "";
  const awaited = dueMove(kitchen); // nobody has said yet that it went there
  const dough = kitchen.phrase(awaited ? "once there" : "the dough there", { where });
  const between = low === high ? "" : `, ${kitchen.phrase("between", { low, high })}`;
  const words = `${readWords(kitchen)}${kitchen.phrase("it is at", { dough, heat: format.heat(retimed.dough_c), times: times(retimed.progress), between })}`;
  const back = !awaited && retimed.place !== "bench" && movedThere(kitchen);
  return el(
    "div",
    { class: "stack stack--tight" },
    el("p", { class: "standing__line" }, picture("dough"), el("span", {}, capital(retimed.factor === 1 ? words : `${words} ${paceWords(kitchen, retimed.factor)}`))),
    back ? button(kitchen.phrase("back on the bench"), () => kitchen.tell(["moved", { place: "bench" }]), { kind: "quiet", key: "back", says: true }) : null,
  );
}

// "×1.7": how risen the dough is taken to be. Once the glass was read, as fine as it can be read.
export function timesWords({ bundle, state }, progress) {
  const grain = state.glasses.length > 0 ? 0.05 : 0.1;
  return `×${trimmed(Math.round(timesAt(bundle.plan.rise.glass, progress) / grain) * grain, 2)}`;
}

// What was read stands as it was read; what all that is known makes of it is said apart.
function readWords(kitchen) {
  const { state, format, now } = kitchen;
  const read = state.glasses.filter((glass) => glass.at <= now()).pop();
  return read ? `${kitchen.phrase("the glass read", { times: trimmed(read.times, 2), at: format.dayClock(read.at, now()) })} ` : "";
}

const movedThere = (kitchen) => kitchen.state.moves.some((move) => move.place === kitchen.retimed.place);

// How quick the dough is, against the plan.
export function paceWords(kitchen, factor) {
  const pace = trimmed(factor > 1 ? factor : 1 / factor, 1);
  if (pace === "1") {
    return kitchen.phrase("it rises as planned");
  }
  return kitchen.phrase(factor > 1 ? "quicker" : "slower", { pace });
}

// The one thing about a step's time that the person must know, with what helps.
export function drawFlag(kitchen, step) {
  const timed = stepNow(kitchen.retimed, step);
  const words = timed.status === "open" ? `${flagWords(kitchen, step, timed)}${gently(kitchen, step, timed)}` : "";
  if (!words) {
    return null;
  }
  const ways = !timed.flag || timed.flag === "long" || !isInHand(kitchen.retimed) ? null : button(kitchen.phrase("what helps here"), () => kitchen.open("ways"), { kind: "quiet", key: `helps-${step.step_id}` });
  return notice("careful", el("p", {}, el("strong", {}, `${step.title}: `), words), ways);
}

// A dough past its best tears under fingers that press as usual: said where it is pressed, agreed to or not.
function gently({ words, state }, { kind }, { flag }) {
  const past = flag === "past" ? "bit-past" : state.way?.result;
  return kind === "press" && past?.includes("past") ? ` ${words.plates[past]}` : "";
}

// The step on the screen says its own.
function flagNotices(kitchen) {
  const here = currentOf(kitchen)?.step;
  const others = kitchen.bundle.plan.steps.filter((step) => step !== here);
  return others.map((step) => drawFlag(kitchen, step)).filter(Boolean);
}

// In the oven every minute is the programme's: being seconds late is no news, and the countdown says it.

export function flagWords(kitchen, step, timed) {
  const clock = (at) => kitchen.format.dayClock(at, kitchen.now());
  if (timed.flag === "long" && BAKE_KINDS.includes(step.kind)) {
    return "";
  }
  const flag = timed.flag === "long" && step.mark !== null ? "long-rising" : timed.flag;
  return (kitchen.words.flags[flag] ?? "").replace("{clock}", clock(timed.past_at || timed.start));
}
