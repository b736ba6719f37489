// Of a page whose times are by another clock than this phone's: whose they are, and what the phone's own shows then.
import { formatFor } from "../lib/format.js";

for (const line of document.querySelectorAll("[data-clock-of]")) {
  const { clockOf, said, reads, at } = line.dataset;
  const [there, known] = [clockOf, said].map((zone) => formatFor(zone, { clock: reads }));
  const now = Date.now() / 1000;
  const here = there.here(Number(at), now);
  line.hidden = here === "" || (said !== clockOf && here === known.dayClock(Number(at), now)); // the page says that one
  line.querySelector("[data-here]").textContent = here;
}
