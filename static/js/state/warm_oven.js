// The warm spot is the oven in many a kitchen: what stands in there comes out before it is lit, and goes into no lit one.

import { timedSteps } from "../plan/retimed.js";

const isOven = ({ plan }) => plan.rise.has_warm !== false && plan.rise.warm_is_oven !== false;

// Where hands put the dough last: a lit oven carries nothing out of itself. Pressed to the edge, it stays where it is.
function standsIn({ plan, state }, now) {
  const done = plan.steps.filter((step) => step.chain && step.kind !== "relax").map(({ step_id, place }) => ({ place, at: state.done.find((one) => one.step_id === step_id)?.at }));
  return [...done, ...state.moves].filter(({ at }) => at <= now).sort((a, b) => a.at - b.at).pop()?.place;
}

// Does the dough stand in the oven that this step lights, or lit? Then that is said and done first.
export const isInOven = ({ bake, now }, kind = "preheat") => kind === "preheat" && isOven(bake) && standsIn(bake, now()) === "warm";

// Is it lit by now, as was said or as it should be?
export const isLit = ({ bake, now }) => isOven(bake) && timedSteps(bake.plan, bake.retimed).some(([{ kind }, { status, start }]) => kind === "preheat" && (status !== "open" || start <= now()));

// Called as the step of that kind is (data/tables/steps.toml, "warm-out"), which no plan has that leaves it inside.
export const outFirst = (kitchen) => ({ title: kitchen.phrase("dough out of the warm spot"), text: kitchen.phrase("take the dough out first") });
export const takeOut = (kitchen) => kitchen.tell(["moved", { place: "bench" }]);
