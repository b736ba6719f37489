// The tide chart in the kitchen, from the same numbers as the screen: fetched after the step can be seen, and drawn anew
// only when it would look different, so that a finger on it is not disturbed.

const LOOKS_DIFFERENT_S = 300;

export async function beginTide(kitchen) {
  const { tideFigure } = await import("../pictures/figure.js");
  let drawn = "";
  let figure = null;
  kitchen.drawTide = () => {
    const { bundle, retimed, units } = kitchen;
    const times = retimed.steps.map((step) => `${Math.floor(step.start / 60)}${step.status}`);
    const key = [bundle.plan.bake_id, bundle.plan.revision, kitchen.events.length, Math.floor(kitchen.now() / LOOKS_DIFFERENT_S), ...times].join(" ");
    if (key !== drawn) {
      drawn = key;
      const open = figure?.querySelector("details")?.open ?? false;
      figure = tideFigure(bundle.plan, retimed, units, kitchen.now(), "kitchen-tide");
      figure.classList.add("card", "card--flush");
      figure.querySelector("details").open = open;
    }
    return figure;
  };
  kitchen.look();
}
