// What was said by a clock that was wrong, and so is filed under a time that is still ahead, or too long ago. Once the clock is
// right it is asked about, one thing at a time, and never changed unasked.

import { offThen, wrongBy } from "../lib/clock.js";
import { button, el, notice } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { doneWord } from "../lib/labels.js";
import { stillSaid } from "../now/journal.js";
import { eventWords } from "../step/undo_bar.js";

const SLACK_S = 120;
// Of these nothing but the time of saying is wrong; ways and waits name other times too, and are taken back instead.
const MOVED = ["done", "begun", "glass", "room", "dough", "moved", "looked", "poked", "baking"];

export function drawAhead(kitchen) {
  const now = kitchen.now();
  if (!kitchen.retimed || Math.abs(wrongBy()) > SLACK_S) {
    return null; // first of all the clock
  }
  const said = stillSaid(kitchen.events);
  const event = said.find((one) => (isAhead(one, now) ? !saidAgain(said, one, now) : wasOff(one)) && !kitchen.keptAhead.includes(one.event_id) && eventWords(one, kitchen));
  return event ? question(kitchen, event, now) : backwards(kitchen, now);
}

// Of two phones each may go by its own clock, and no server have told them: then steps of the dough can come the wrong way round.
function backwards(kitchen, now) {
  const { plan } = kitchen.bundle;
  const done = plan.steps.filter((step) => step.chain).map((step) => ({ step, at: kitchen.state.done.find((one) => one.step_id === step.step_id)?.at })).filter((one) => one.at);
  const i = done.findIndex((one, n) => n > 0 && one.at + SLACK_S < done[n - 1].at);
  if (i < 0 || kitchen.keptAhead.includes(turned(done, i))) {
    return null;
  }
  const [before, after] = [done[i - 1], done[i]];
  const name = ({ step, at }) => `${doneWord(kitchen, step.kind)} (${kitchen.format.dayClock(at, now)})`;
  const ask = ({ step }) => button(kitchen.phrase("when was it", { step: step.title }), () => kitchen.open("when", step), { kind: "quiet", key: `turned-${step.step_id}` });
  return notice("careful", el("p", {}, el("strong", {}, kitchen.phrase("said for before", { after: name(after), before: name(before) })), `. ${kitchen.phrase("one clock was wrong")}`), ask(before), ask(after), keepIt(kitchen, turned(done, i)));
}

const turned = (done, i) => `${done[i - 1].step.step_id} ${done[i].step.step_id}`;
const keepIt = (kitchen, id) => button(kitchen.phrase("keep it"), () => keep(kitchen, id), { kind: "quiet", key: "keep-ahead" });

const isAhead = (event, now) => event.at > now + SLACK_S;
// Its clock was wrong, as was known or suspected when it was said.
const wasOff = ({ kind, data }) => MOVED.includes(kind) && Math.abs(offThen(data)[0]) >= SLACK_S;

// The step was said to be done at a time that has been: that one counts.
const saidAgain = (said, event, now) => event.kind === "done" && said.some((one) => one.kind === "done" && one.data.step_id === event.data.step_id && one.at <= now);

function question(kitchen, event, now) {
  const { format } = kitchen;
  const [off, sure] = offThen(event.data);
  const really = event.at + off;
  const known = really <= now + SLACK_S && really !== event.at;
  const when = (at) => now - at < 60 ? kitchen.phrase("it was just now", { at: format.dayClock(at, now) }) : kitchen.phrase("it was then", { ago: duration(now - at), at: format.dayClock(at, now) });
  const move = (at) => button(when(at), () => sayAgain(kitchen, event, at), { kind: "quiet", key: "really", says: true });
  return notice(
    "careful",
    el("p", {}, el("strong", {}, eventWords(event, kitchen)), `. ${isAhead(event, now) ? kitchen.phrase(event.phone === kitchen.phone ? "ahead here" : "ahead there", { ahead: duration(event.at - now) }) : kitchen.phrase(sure ? "clock was" : "clock perhaps", { off: kitchen.phrase(off > 0 ? "behind" : "ahead", { off: duration(off) }) })}`),
    MOVED.includes(event.kind) ? move(known ? Math.min(really, now) : now) : button(kitchen.phrase("take it back"), () => kitchen.undo((one) => one.event_id === event.event_id), { kind: "quiet", key: "not-ahead", says: true }),
    (known && sure) || event.kind !== "done" ? null : button(kitchen.phrase("at another time"), () => kitchen.open("when", stepOf(kitchen, event)), { kind: "quiet", key: "ahead-when" }),
    keepIt(kitchen, event.event_id),
  );
}

const stepOf = (kitchen, event) => kitchen.bundle.plan.steps.find((step) => step.step_id === event.data.step_id);

function sayAgain(kitchen, { event_id, kind, data }, at) {
  const { clock_off_s: _, clock_unsure: __, ...same } = data;
  kitchen.tell(["undo", { event_id }], [kind, same, at]);
}

function keep(kitchen, id) {
  kitchen.keptAhead = [...kitchen.keptAhead, id];
  kitchen.store.setMeta("kept ahead", kitchen.keptAhead).catch(() => {});
  kitchen.look();
}
