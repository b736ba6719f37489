// What the person can say at any time.

import { button, el } from "../lib/dom.js";

const TOOLS = [
  ["glass", "Read the glass", "glass"],
  ["room", "The room is at …", "thermometer"],
  ["felt", "The dough is at …", "dough"],
  ["dough", "Move the dough", "fridge"],
  ["pan", "Another pan", "pan-rectangle"],
];

export function drawTools(kitchen) {
  if (!kitchen.retimed.current) {
    return null;
  }
  return el(
    "section",
    { class: "tools", "aria-label": "Tell the kitchen" },
    TOOLS.map(([name, words, pic]) => button(words, () => kitchen.open(name), { kind: "quiet", pic, key: name })),
  );
}
