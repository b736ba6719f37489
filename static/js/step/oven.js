// The oven step, for somebody with mitts on: dial, shelf, slab, minute, what happens next.

import { el, picture } from "../lib/dom.js";
import { duration } from "../lib/format.js";
import { capital } from "../lib/labels.js";
import { thickerS } from "../now/marked.js";
import { OVEN_KINDS } from "../plan/kinds.js";
import { stepNow } from "../plan/retimed.js";
import { goesOff } from "../state/stands.js";

const OVEN_STEPS = ["preheat", ...OVEN_KINDS];

export function drawOven(kitchen, step) {
  if (!OVEN_STEPS.includes(step.kind)) {
    return null;
  }
  const { oven } = kitchen.bundle.plan;
  const blown = oven.blown ?? (oven.fan ? "fan" : ""); // a bundle packed before there were words for it
  const loaded = loadedAt(kitchen, step);
  return el(
    "dl",
    { class: "oven__set" },
    ...fact(kitchen.phrase("dial"), dialFor(kitchen, step) + (blown ? `, ${blown}` : ""), "oven__dial"),
    ...(isMoved(kitchen, loaded) ? [] : fact(kitchen.phrase("shelf"), oven.shelf)),
    ...(loaded ? fact(kitchen.phrase("minute"), kitchen.phrase("since loading", { minutes: Math.trunc((kitchen.now() - loaded) / 60) }), "oven__minute") : fact(kitchen.phrase("inside"), insideWords(kitchen, step))),
  );
}

// What happens next, below the button: what to do now must be in reach of the thumb first. While it heats nothing counts minutes.
export function drawOvenAhead(kitchen, step) {
  if (!OVEN_KINDS.includes(step.kind)) {
    return null;
  }
  const loaded = loadedAt(kitchen, step);
  return el(
    "div",
    { class: "oven" },
    el("ol", { class: "oven__list", "aria-label": kitchen.phrase("minute by minute") }, ahead(kitchen, step, loaded).map((action) => line(kitchen, action, loaded, step))),
    el("p", { class: "soft" }, kitchen.phrase("baked after", { minutes: bakedWords(kitchen) })),
  );
}

// A thick dough is looked at and taken out so many minutes later.
const laterMin = ({ bundle, state }) => Math.round(thickerS(bundle.plan, state.tray_times) / 60);

export function bakedWords(kitchen) {
  const { bake_low_min, bake_high_min } = kitchen.bundle.plan.oven;
  return kitchen.phrase("from to", { low: bake_low_min + laterMin(kitchen), high: bake_high_min + laterMin(kitchen) });
}

const fact = (name, value, extra = "") => [el("dt", {}, name), el("dd", { class: extra || null }, value)];

// A pale base went down to the lowest shelf, a dark top perhaps a shelf lower.
const isMoved = ({ state }, loaded) => loaded && state.baking.some((one) => one.at >= loaded && one.said !== "more");

// What the dial should read now, and once a step is due, when it is done; at a lifting both: the tray is still in.
function dialFor(kitchen, step) {
  const { steps, oven } = kitchen.bundle.plan;
  const due = stepNow(kitchen.retimed, step).start <= kitchen.now();
  const before = oven.programme.filter((action) => action.dial && OVEN_STEPS.indexOf(action.action) < OVEN_STEPS.indexOf(step.kind) + due);
  const dial = before.pop()?.dial ?? oven.dial;
  if (!due || step.kind !== "lift") {
    return dial;
  }
  const goesOn = steps.slice(steps.indexOf(step)).some((one) => one.kind === "load") && !goesOff(kitchen.bundle.plan, kitchen.retimed);
  const then = goesOn ? oven.dial : kitchen.phrase("dial off");
  return then === dial ? dial : `${dial}, ${kitchen.phrase("then").toLowerCase()} ${then}`;
}

// What is heated, and how hot it should be: a tray alone is with the dough still.
const insideWords = (kitchen, step, { oven } = kitchen.bundle.plan) => [oven.setting?.slab === "tray" ? "" : oven.slab, hotWords(kitchen, step)].filter(Boolean).join(": ") || kitchen.phrase("empty oven");

// "should be hot since 18:52", "should be hot again at 19:20, in 9 min" after a load, "" before the oven is lit: no clock knows.
function hotWords(kitchen, step) {
  const { steps, oven } = kitchen.bundle.plan;
  const said = (kind) =>
    steps
      .slice(0, steps.indexOf(step) + 1)
      .filter((one) => one.kind === kind && one !== step)
      .map((one) => [kitchen.state.done.find((done) => done.step_id === one.step_id)?.at, one.end - one.start])
      .filter(([at]) => at)
      .pop();
  const lifted = said("lift");
  const from = lifted ?? said("preheat");
  if (!from) {
    return "";
  }
  const [at, lit_s] = from; // hot from when the dial was turned, as the loading is timed
  const hot = lifted ? at + oven.recovery_min * 60 : at - lit_s + oven.preheat_min * 60;
  const clock = kitchen.format.clock(hot);
  return hot <= kitchen.now() ? kitchen.phrase(lifted ? "hot again since" : "hot since", { clock }) : kitchen.phrase(lifted ? "hot again at" : "hot at", { clock, ahead: duration(hot - kitchen.now()) });
}

// When the load that this step belongs to went in; 0 while it has not.
export function loadedAt(kitchen, step) {
  const { plan } = kitchen.bundle;
  if (step.kind === "load" || step.kind === "preheat") {
    return 0;
  }
  const load = plan.steps.slice(0, plan.steps.indexOf(step)).filter((one) => one.kind === "load").pop();
  return kitchen.state.done.find((done) => done.step_id === load?.step_id)?.at ?? 0;
}

// What is still to come, however late it is.
function ahead(kitchen, step, loaded) {
  const { programme } = kitchen.bundle.plan.oven;
  const at = (action) => timeOf(kitchen, action, step);
  const out = at({ action: "lift" }) || Infinity; // nothing is turned or looked at once it is out
  return loaded ? programme.filter((one) => at(one) && at(one) <= out).sort((a, b) => at(a) - at(b)) : programme.slice(1); // when late the turn of one may come before another’s
}

function line(kitchen, action, loaded, step) {
  const when = loaded ? kitchen.format.clock(timeOf(kitchen, action, step)) : `${action.minute + (["check", "lift"].includes(action.action) ? laterMin(kitchen) : 0)} min`;
  return el(
    "li",
    { class: "oven__line" },
    el("span", { class: "num oven__when" }, when),
    picture(action.action),
    el("span", {}, shortWords(kitchen, action)),
  );
}

// The minute that its own step names, of this load; 0 once it is done.
function timeOf({ bundle, retimed }, { action }, { load }) {
  const step = bundle.plan.steps.find((one) => one.kind === action && one.load === load);
  const timed = step && stepNow(retimed, step);
  return timed?.status === "open" ? timed.start : 0;
}

// Each step says itself in full when it comes; the list is for a glance, so that the button below stays in reach.
function shortWords(kitchen, { action, dial, text }) {
  return action === "turn-down" ? kitchen.phrase("dial to", { dial }) : capital(kitchen.words.oven[action] ?? text);
}
