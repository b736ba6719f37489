// Another yeast is in the cupboard than planned: its amount follows, here and now.

import { el } from "../lib/dom.js";
import { answers, sheet } from "../lib/sheet.js";
import { asPoured } from "../scale/weighing.js";
import { linesOf } from "../step/weigh_list.js";

// `part`: of the list in front of which this was asked.
export function open(kitchen, part) {
  const { plan } = kitchen.bundle;
  const now = linesOf(kitchen);
  const all = [{ kind: plan.yeast_kind, lines: plan.lines }, ...plan.other_yeasts];
  const page = sheet(
    kitchen.phrase("which yeast"),
    el("p", {}, kitchen.words.help.yeasts),
    answers(all.filter(({ lines }) => lines !== now).map((one) => [words(kitchen, one, part), one.kind]), (yeast) => {
      page.close();
      kitchen.tell(["yeast", { yeast }]);
    }),
  );
}

function words(kitchen, { lines }, part) {
  const poured = asPoured(lines, lines, kitchen.words.yeast_water).find((one) => one.kind === "yeast" && one.part === part);
  const own = lines.find((one) => one.kind === "yeast" && one.part === part);
  return kitchen.phrase(poured.name === own.name ? "so much yeast" : "so much yeast water", { name: own.name, grams: kitchen.format.grams(poured.weigh_g) });
}
