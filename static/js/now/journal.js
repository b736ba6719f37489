// Plan and journal folded into what has happened. Twin of webapp/core/now/journal.py: change both or neither.
//
// Twin rules as in the Python twin. Events may come in any order, doubled: the same set always gives the same state.

import { BAKE_KINDS } from "../plan/kinds.js";
import { saidAt } from "./marked.js";
import { ovenSaid, movesSaid, numberOf, paceSaid, supperSaid, textOf, waySaid } from "./taken.js";
import { undoneIds } from "../plan/undone.js";

export function fold(plan, events) {
  const said = ofThisDough(plan, stillSaid(events));
  const happened = inOrder(said, happenedBefore);
  const { gone, off, load } = ovenSaid(plan, said);
  const done = stepsSaid(plan, said.filter((e) => !gone.includes(e)), "done");
  return {
    done,
    begun: stepsSaid(plan, said, "begun"),
    later: laterSaid(plan, said),
    supper: supperSaid(said, plan.supper, "all"),
    glasses: happened.filter((e) => e.kind === "glass").map((e) => ({ at: e.at, times: numberOf(e, "times") })),
    rooms: readings(happened, "room"),
    moves: movesSaid(plan, said, happened, done),
    weighed: linesWeighed(plan, said),
    poured: linesPoured(plan, said),
    area_cm2: lastNumber(said, "pan", "area_cm2", 0),
    notes: said.filter((e) => e.kind === "note").map((e) => textOf(e, "text")),
    outcome: outcomeSaid(said),
    doughs: readings(happened, "dough"),
    looks: happened.filter((e) => e.kind === "looked").map((e) => ({ at: e.at, said: textOf(e, "seen") })),
    pokes: happened.filter((e) => e.kind === "poked").map((e) => ({ at: e.at, said: textOf(e, "springs") })),
    way: waySaid(said),
    agreed: supperSaid(said, plan.supper, "asked"),
    wanted: supperSaid(said, plan.supper, "wanted"),
    baking: happened.filter((e) => e.kind === "baking").map((e) => ({ at: e.at, said: textOf(e, "seen") })),
    yeast: lastText(said, "yeast", "yeast"),
    tray_times: traySaid(said),
    pan: lastText(said, "pan", "name"),
    mixed_cm2: lastNumber(beforeMixed(plan, said, done), "pan", "area_cm2", 0),
    pace: paceSaid(plan, said),
    left_out: stepsSaid(plan, said, "left-out"),
    cold_again: off,
    lit_for: load,
  };
}

export const doughOf = (plan) => (plan.dough_of > 0 ? plan.dough_of : plan.revision);

export function ofThisDough(plan, said) {
  const dough = doughOf(plan);
  return said.filter((e) => !e.revision || e.revision === dough || e.kind === "note" || e.kind === "room");
}

export function stillSaid(events) {
  const undone = undoneIds(events);
  const out = [];
  for (const event of inOrder(events, saidBefore)) {
    const doubled = out.length > 0 && out[out.length - 1].event_id === event.event_id;
    if (!doubled && !undone.includes(event.event_id) && event.kind !== "undo") {
      out.push(event);
    }
  }
  return out;
}

function saidBefore(a, b) {
  if (a.logged_at !== b.logged_at) {
    return a.logged_at < b.logged_at;
  }
  if (a.at !== b.at) {
    return a.at < b.at;
  }
  return a.event_id < b.event_id;
}

function happenedBefore(a, b) {
  return a.at < b.at;
}

function inOrder(events, before) {
  const out = [];
  for (const event of events) {
    let i = out.length;
    while (i > 0 && before(event, out[i - 1])) {
      i -= 1;
    }
    out.splice(i, 0, event);
  }
  return out;
}

function readings(happened, kind) {
  let out = [];
  for (const event of happened.filter((e) => e.kind === kind)) {
    const temp_c = numberOf(event, "temp_c");
    const since = Math.trunc(numberOf(event, "since"));
    if (since > 0 && since < event.at) {
      out = [...out.filter((one) => one.start < since), { start: since, temp_c, held: true }];
    }
    out.push({ start: event.at, temp_c, held: false });
  }
  return out;
}

function lastNumber(said, kind, key, otherwise) {
  const last = said.filter((e) => e.kind === kind).pop();
  return last ? numberOf(last, key) : otherwise;
}

function lastText(said, kind, key) {
  const last = said.filter((e) => e.kind === kind).pop();
  return last ? textOf(last, key) : "";
}

function traySaid(said) {
  let out = 0;
  for (const event of said) {
    if (event.kind === "tray") {
      out = numberOf(event, "times");
    } else if (event.kind === "pan") {
      out = 0;
    }
  }
  return out;
}

function beforeMixed(plan, said, done) {
  const mixedAt = mixingSaid(plan, done);
  return said.filter((e) => mixedAt < 0 || e.at <= mixedAt);
}

function mixingSaid(plan, done) {
  let out = 0;
  for (const step of plan.steps) {
    out = step.kind === "mix" ? -1 : out;
    const at = saidAt(done, step.step_id);
    if (out !== 0 && step.chain && at !== 0 && (out < 0 || at < out)) {
      out = at;
    }
  }
  return out;
}

function stepsSaid(plan, said, kind) {
  const out = [];
  for (const step of plan.steps) {
    const ats = said.filter((e) => e.kind === kind && textOf(e, "step_id") === step.step_id).map((e) => e.at);
    if (ats.length > 0) {
      out.push({ step_id: step.step_id, at: earliest(ats) });
    }
  }
  return out;
}

function earliest(ats) {
  return Math.min(...ats);
}

function laterSaid(plan, said) {
  const chain = plan.steps.filter((s) => s.chain && !BAKE_KINDS.includes(s.kind)).map((s) => s.step_id);
  let [until, wishedAt] = [0, 0];
  for (const event of said) {
    if (event.kind === "later") {
      until = Math.trunc(numberOf(event, "until"));
      wishedAt = event.at;
    } else if (event.kind === "done" && event.at > wishedAt && chain.includes(textOf(event, "step_id"))) {
      until = 0;
    }
  }
  return until;
}

function linesWeighed(plan, said) {
  const ticked = said.filter((e) => e.kind === "weighed").map((e) => textOf(e, "line"));
  return plan.lines.map((line) => `${line.part}/${line.key}`).filter((name) => ticked.includes(name));
}

function linesPoured(plan, said) {
  const out = [];
  for (const line of plan.lines) {
    const name = `${line.part}/${line.key}`;
    const poured = said.filter((e) => e.kind === "poured" && textOf(e, "line") === name);
    if (poured.length > 0) {
      const { data } = poured[poured.length - 1];
      out.push({ line: name, grams: numberOf({ data }, "grams"), kept: data.kept === true });
    }
  }
  return out;
}

function outcomeSaid(said) {
  const out = [];
  for (const key of ["base", "top", "crumb", "timing", "verdict"]) {
    const answers = said.filter((e) => e.kind === "outcome" && textOf(e, key) !== "").map((e) => textOf(e, key));
    if (answers.length > 0) {
      out.push([key, answers[answers.length - 1]]);
    }
  }
  return out;
}
