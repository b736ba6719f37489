// The kitchen screen begins here. Bundles and events from the phone's database -> fold -> retime -> screen. A tap writes an
// event and draws again; the network is nowhere in that path.

import { goByServer } from "../lib/clock.js";
import { clocksOf } from "../lib/format.js";
import { phoneId } from "../lib/log.js";
import { openStore } from "../lib/store.js";
import { turn } from "../lib/turn.js";
import { giveActions, takeBakes } from "../state/actions.js";
import { pickBake } from "../state/on_the_screen.js";
import { beginFingers, beginScreen, look } from "./screen.js";
import { stillStanding } from "./stood.js";
import { Kitchen } from "../state/known.js";

const kitchen = new Kitchen();

const FIRST_LOOK_MS = 1500;
const FRAME_MS = 100; // a page that nobody sees has no frames

async function start() {
  giveActions(kitchen, look);
  beginFingers(kitchen);
  kitchen.wanted = location.hash.slice(1);
  const opening = openStore({ onLate: takeOver, first: kitchen.wanted });
  const more = import("./more.js").catch(() => null); // asked for again by parts.js
  await whatStoodIsSeen();
  clocksOf(); // the words of days and hours are fetched while the database opens
  kitchen.store = await opening;
  kitchen.chosenAt = kitchen.now();
  const { meta, bundles, events } = kitchen.store.found;
  goByServer(meta.get("clock") ?? 0);
  kitchen.rings = meta.get("rings") ?? [];
  kitchen.keptAhead = meta.get("kept ahead") ?? [];
  kitchen.givenUp = new Set(meta.get("given up"));
  const left = meta.get("left") || [];
  kitchen.notes.left = typeof left === "string" ? [["", left]] : left; // a version before wrote names alone
  kitchen.notes.read = meta.get("read") ?? [];
  kitchen.note("memory", kitchen.store.kind === "memory" ? kitchen.store.why : null);
  takeBakes(kitchen, bundles, events);
  kitchen.allRead = !kitchen.wanted;
  pickBake(kitchen);
  kitchen.stood = stillStanding(kitchen.bakes.get(kitchen.choice));
  await turn();
  // The step is drawn once, with all that belongs to it; where that is not here by then, it stands below (step.js).
  kitchen.more = await Promise.race([more, new Promise((done) => setTimeout(done, FIRST_LOOK_MS, null))]);
  kitchen.look();
  kitchen.bare = !kitchen.more;
  performance.mark("step-visible");
  document.documentElement.dataset.kitchen = "started"; // for pages/guard.js
  kitchen.phone = meta.get("phone") ?? (await phoneId(kitchen.store));
  addEventListener("hashchange", () => kitchen.show(location.hash.slice(1)));
  beginScreen(kitchen);
  await kitchen.refresh();
  const { loadParts } = await again(() => import("./parts.js"));
  kitchen.note("missing", null);
  await loadParts(kitchen);
}

// What stood here last is seen before anything else is done.
async function whatStoodIsSeen() {
  await turn();
  if (document.querySelector("[data-stood]")) {
    await new Promise((done) => {
      setTimeout(done, FRAME_MS);
      requestAnimationFrame(() => setTimeout(done));
    });
  }
}

async function again(load) {
  for (;;) {
    try {
      return await load();
    } catch {
      kitchen.note("missing", true);
      await new Promise((done) => setTimeout(done, 2000)); // the network may come back; what is on the screen works
    }
  }
}

// The database answered after all.
const takeOver = async (store) => (await again(() => import("./background.js"))).takeOver(kitchen, store);

if (document.documentElement.dataset.kitchen !== "too old") {
  start();
}
