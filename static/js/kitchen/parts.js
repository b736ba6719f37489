// Loads everything that is not the current step (more.js, the sheets), at once, as soon as that can be seen. From then on
// nothing of the screen needs the server. What does not arrive is fetched again, and said.

import { el, say } from "../lib/dom.js";
import { doneWord } from "../lib/labels.js";
import { Arriving } from "../lib/arriving.js";
import { turn } from "../lib/turn.js";
import { mayMove } from "../touch/finger.js";
import { currentOf } from "../state/on_the_screen.js";
import { keepWhatStands } from "./stood.js";

const MEET_MS = 2000;
const TOLD_MS = 8000;
const REHEARSALS = 8; // ready at the first; from then on a browser makes it quick, step by step
const NO_IDLE_MS = 300; // a browser that does not say when it is idle

const SHEETS = {
  ways: () => import("../sheets/late.js").then(({ openWays }) => ({ open: openWays })),
  late: () => import("../sheets/late.js"),
  when: () => import("../sheets/when.js"),
  early: () => import("../sheets/early.js"),
  glass: () => import("../sheets/glass.js"),
  warmth: () => import("../sheets/warmth.js"),
  pan: () => import("../sheets/pan.js"),
  dough: () => import("../sheets/dough_moves.js"),
  yeast: () => import("../sheets/yeast.js"),
  noOven: () => import("../sheets/no_oven.js"),
  unticked: () => import("../sheets/unticked.js"),
  poured: () => import("../sheets/poured.js"),
  cameOut: () => import("../sheets/came_out.js"),
};

export async function loadParts(kitchen) {
  const arriving = new Arriving((missing) => kitchen.note("missing", missing));
  kitchen.open = (name, about = null) => openSheet(kitchen, arriving, name, about);
  if (kitchen.asked?.step === kitchen.step) {
    kitchen.open(...kitchen.asked.asked);
  }
  kitchen.more = await arriving.take(() => import("./more.js"));
  kitchen.look();
  const { begin } = await arriving.take(() => import("./background.js"));
  const sheets = Object.values(SHEETS).map((load) => arriving.take(load));
  const chart = arriving.take(() => import("./chart.js")).then(({ beginChart }) => beginChart(kitchen));
  const met = begin(kitchen);
  const whole = Promise.all([chart, ...sheets]).then(([ahead]) => {
    kitchen.whole = true;
    return ahead;
  });
  // What stands below the step comes once, when all of it is here: bit by bit, each part would push those under it. For what
  // the server has to say it is waited a moment.
  const [drawTideAhead] = await Promise.all([whole, Promise.race([met, later(MEET_MS)])]);
  await turn();
  if (kitchen.retimed && !kitchen.forgotten) {
    drawTideAhead();
    await turn();
  }
  kitchen.allDrawn = true;
  kitchen.look();
  openAsked(kitchen);
  keepWhatStands(kitchen);
  const { searchOnce } = await arriving.take(() => import("./rehearsal.js"));
  const plan = kitchen.bake?.readable ? kitchen.bake.plan : null;
  if (plan) {
    rehearse(() => searchOnce(plan), REHEARSALS);
  }
}

const whenIdle = (go) => (self.requestIdleCallback ? requestIdleCallback(go) : setTimeout(go, NO_IDLE_MS));

// Each time by itself: a tap may come in between.
function rehearse(play, left) {
  if (left === 0) {
    performance.mark("rehearsed");
    return;
  }
  whenIdle(() => {
    play();
    rehearse(play, left - 1);
  });
}

const later = (ms) => new Promise((done) => setTimeout(done, ms));

// The sheet speaks of the bake and the step on the screen: when others come meanwhile, it does not open.
async function openSheet(kitchen, arriving, name, about) {
  const { step } = kitchen;
  const { open } = await arriving.take(SHEETS[name]);
  if (kitchen.step === step) {
    document.getElementById("screen").dataset.sheet = `${name} ${(about?.step ?? about)?.step_id ?? about}`;
    open(kitchen, about);
    leaveWithStep(kitchen, OF_THE_STEP.includes(name) ? currentOf(kitchen)?.step : (about?.step ?? about));
  }
}

// The bake's page leads to one of two sheets; the screen opened again, or closed and opened, stands without it.
function openAsked(kitchen) {
  const asked = new URLSearchParams(location.search);
  const sheet = asked.has("no-oven") ? "noOven" : asked.has("ways") && "ways";
  if (sheet && currentOf(kitchen)) {
    history.replaceState(null, "", location.pathname + location.hash);
    kitchen.open(sheet);
  }
}

const OF_THE_STEP = ["ways", "yeast", "poured", "noOven"]; // that is on the screen, whatever they were asked about

// A sheet about a step that is open closes when the step has been said by somebody else: nothing can be said twice by it.
function leaveWithStep(kitchen, step) {
  const isOpen = () => kitchen.retimed?.steps.some((one) => one.step_id === step?.step_id && one.status === "open");
  const box = isOpen() && document.querySelector("dialog.sheet");
  const follow = () => {
    const left = !box.isConnected;
    if (left || (!isOpen() && mayMove())) {
      removeEventListener("kitchen-looked", follow);
      if (!left) {
        box.close();
        tellWhy(kitchen, step);
      }
    }
  };
  if (box) {
    addEventListener("kitchen-looked", follow);
  }
}

// Why the sheet has gone: to be read for a while where it stood, and heard. Taps go through it.
function tellWhy(kitchen, step) {
  const { state, format, now } = kitchen;
  const done = state.done.find((one) => one.step_id === step.step_id);
  const words = done ? kitchen.phrase("said elsewhere", { done: doneWord(kitchen, step.kind), at: format.dayClock(done.at, now()) }) : kitchen.phrase("no longer asked", { step: step.title });
  const line = el("p", { class: "told", "aria-hidden": "true" }, words);
  document.body.append(line);
  say(words);
  setTimeout(() => line.remove(), TOLD_MS);
}
