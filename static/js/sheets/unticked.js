// Mixed, but a line of the list has no tick: whether it is in is asked once, before the dough stands for hours without it.

import { button, el } from "../lib/dom.js";
import { doneWord, small } from "../lib/labels.js";
import { preview, sheet } from "../lib/sheet.js";
import { unticked } from "../step/weigh_list.js";

// `at`: when it was done; null = at the moment of the tap.
export function open(kitchen, { step, at }) {
  const { place, show } = preview();
  const lines = () => unticked(kitchen, step);
  const yes = () => {
    page.close();
    const when = at ?? kitchen.now();
    kitchen.tell(...lines().map(({ said }) => ["weighed", said, when]), ["done", { step_id: step.step_id }, when]);
  };
  const page = sheet(kitchen.phrase("is all of it in"), place);
  show(() => {
    const names = lines().map(({ name }) => name);
    const one = names.length === 1;
    return [
      el("p", {}, kitchen.phrase(one ? "not ticked" : "are not ticked", { names: names.join(", ") })),
      button(kitchen.phrase(one ? "yes it is in" : "yes all is in", { done: small(doneWord(kitchen, step.kind)) }), yes, { kind: "wide", pic: "good", key: "all-in-bowl", says: true }),
      button(kitchen.phrase("no back to the list"), () => page.close(), { kind: "quiet wide", key: "not-all-in" }),
    ];
  });
}
