// The kitchen screen begins here. Bundles and events from the phone's database -> fold -> retime -> screen. A tap writes an
// event and draws again; the network is nowhere in that path.

import { goByServer } from "../lib/clock.js";
import { clocksOf } from "../lib/format.js";
import { phoneId } from "../lib/log.js";
import { openStore } from "../lib/store.js";
import { giveActions, readBakes } from "../state/actions.js";
import { pickBake } from "../state/on_the_screen.js";
import { beginFingers, beginScreen, look } from "./screen.js";
import { Kitchen } from "../state/state.js";

const kitchen = new Kitchen();

const FIRST_LOOK_MS = 1500;

async function start() {
  giveActions(kitchen, look);
  beginFingers(kitchen);
  const opening = openStore({ onLate: takeOver });
  const more = import("./more.js").catch(() => null); // asked for again by parts.js
  clocksOf(); // the words of days and hours are fetched while the database opens
  kitchen.store = await opening;
  kitchen.wanted = location.hash.slice(1);
  kitchen.chosenAt = kitchen.now();
  const [clock, rings, kept, dropped] = await Promise.all(["clock", "rings", "kept ahead", "given up"].map((key) => kitchen.store.meta(key).catch(() => undefined)));
  goByServer(clock ?? 0);
  kitchen.rings = rings ?? [];
  kitchen.keptAhead = kept ?? [];
  kitchen.givenUp = new Set(dropped);
  kitchen.note("memory", kitchen.store.kind === "memory" ? kitchen.store.why : null);
  await readBakes(kitchen, kitchen.wanted);
  pickBake(kitchen);
  // The step is drawn once, with all that belongs to it; where that is not here by then, it stands below (step.js).
  kitchen.more = await Promise.race([more, new Promise((done) => setTimeout(done, FIRST_LOOK_MS, null))]);
  kitchen.look();
  kitchen.bare = !kitchen.more;
  performance.mark("step-visible");
  document.documentElement.dataset.kitchen = "started"; // for pages/guard.js
  kitchen.phone = await phoneId(kitchen.store);
  addEventListener("hashchange", () => kitchen.show(location.hash.slice(1)));
  beginScreen(kitchen);
  await kitchen.refresh();
  const { loadParts } = await again(() => import("./parts.js"));
  kitchen.note("missing", null);
  await loadParts(kitchen);
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
