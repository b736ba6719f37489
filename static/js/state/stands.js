// Where the dough stands after a step by the way that was taken, and for how long as things stand: its step says both; so
// does a lifting whether the oven stays on. The words for each came with the bundle; only what is shown is set, nothing is worked out from it.

import { duration, five } from "../lib/format.js";
import { RESTING_PLACES } from "../plan/kinds.js";

const PASSING = ["rest", "relax"]; // hands on the way end no wait
const SAID_S = 60;
const [COLD_C, GIVES_C] = [11, 13]; // between them as planned: nobody feels it

export function sayWhereItStands(bake) {
  const { bundle, plan, state, retimed, words } = bake;
  for (const [step_id, places] of Object.entries(bundle.stands ?? {})) {
    const i = plan.steps.findIndex((step) => step.step_id === step_id);
    const step = plan.steps[i];
    const there = step.kind === "lift" ? (goesOff(plan, retimed) ? "off" : "on") : placeOf(plan, i, state, retimed);
    const place = there in places ? there : step.place; // a way moves trays: what still stands in its bowl has one place
    const { dough_c } = retimed.steps[i];
    const { other_pan, ...said } = places[dough_c > GIVES_C ? `${place}-gives` : dough_c && dough_c < COLD_C ? `${place}-cold` : place] ?? places[place];
    const wait_s = five(waitAfter(plan, retimed, i));
    const stands = `${wait_s < SAID_S ? "" : `${bake.phrase("about", { wait: duration(wait_s) })} `}${words.places[place]}`;
    Object.assign(step, filled(said, stands), { there: place, own: said.title }, other_pan ? { other_pan: filled(other_pan, stands) } : {});
  }
}

const filled = (said, stands) => Object.fromEntries(Object.entries(said).map(([key, words]) => [key, words.replace("{stands}", stands)]));

// Is the oven off once its tray is out, since the next one comes long after it?
export const goesOff = ({ steps }, retimed) => steps.some((step, i) => step.kind === "preheat" && retimed.steps[i].flag === "off-then");

// A tray that is pressed to the edge stays where it is; until it is pressed out, where the dough is says where its bowl stands.
function placeOf({ steps }, i, { way }, { place, steps: timed }) {
  const step = steps[i];
  const onTray = steps.some(({ kind, load }, n) => kind === "press" && load === step.load && timed[n].status === "done");
  return step.kind === "relax" && onTray && RESTING_PLACES.includes(place) ? place : way?.proof || step.place;
}

// Until hands move it or it is baked, of one load among several that one.
function waitAfter(plan, { steps, moves }, i) {
  const { end } = steps[i];
  const own = (step, n) => n > i && step.chain && (!plan.steps[i].load || step.load === plan.steps[i].load) && !PASSING.includes(step.kind);
  const next = [...plan.steps.flatMap((step, n) => (own(step, n) ? [steps[n].start] : [])), ...moves.map(({ at }) => at).filter((at) => at > end + SAID_S)];
  return Math.max(0, Math.min(...next) - end);
}
