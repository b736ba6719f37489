// What stood on the screen last, kept in this phone: pages/guard.js shows it again before the database is even asked, and says
// when it stood there. Nothing of it can be tapped; it goes as soon as plan and journal are read.

import { rawNow } from "../lib/clock.js";

const KEPT_AS = "stood"; // as pages/guard.js asks for it
const KEEP_MS = 300; // after each look, when hands have gone on

// What stands below the step follows from these: while they are the same it may stay until it is drawn anew.
const factsOf = ({ plan, bundle, units, retimed }) => JSON.stringify([bundle.worded, plan.revision, units, retimed.supper, retimed.steps.map(({ start, status }) => [start, status])]);

// The nodes below the step that stand here from last time and are still right; they say themselves when they were.
export function stillStanding(bake) {
  const nodes = [...document.querySelectorAll("[data-stood]")];
  return nodes.length > 0 && bake?.retimed && nodes[0].dataset.facts === factsOf(bake) ? nodes : [];
}

// From when the screen is whole.
export function keepWhatStands(kitchen) {
  let timer = 0;
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(keep, KEEP_MS, kitchen);
  };
  addEventListener("kitchen-looked", soon);
  addEventListener("pagehide", () => keep(kitchen));
  soon();
}

function keep(kitchen) {
  try {
    const html = asItStands(kitchen);
    if (html) {
      const alone = [...kitchen.bakes.values()].every((bake) => bake.over || bake.id === kitchen.shown);
      const looks = document.querySelector("link[rel=stylesheet]").href; // of another version it may look otherwise
      localStorage.setItem(KEPT_AS, JSON.stringify({ bake: kitchen.shown, alone, looks, at: Math.floor(rawNow()), screen: html }));
    } else {
      localStorage.removeItem(KEPT_AS);
    }
  } catch {
    // No room, or none is given: then it is drawn when the database has answered.
  }
}

// Nothing but a step with its times: what rings and what is said on top is not for later.
function asItStands(kitchen) {
  const screen = document.getElementById("screen").cloneNode(true);
  const count = screen.querySelector("[data-count]");
  if (!count || kitchen.shown !== kitchen.choice) {
    return "";
  }
  const asOf = kitchen.phrase("as of", { at: kitchen.format.clock(kitchen.now()) }).toLowerCase();
  count.textContent = asOf;
  screen.querySelectorAll("#notes, .notes-mark, .instead").forEach((node) => node.remove());
  screen.querySelector("#alarm")?.replaceChildren();
  screen.querySelectorAll("button").forEach((one) => (one.disabled = true)); // neither by a finger nor by a key, and heard so
  screen.querySelectorAll("[data-below]").forEach((node) => {
    node.dataset.stood = asOf;
    node.dataset.facts = factsOf(kitchen.bake);
  });
  return screen.innerHTML;
}
