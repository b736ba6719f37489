// What the person can say at any time. Each sheet is fetched when it is first opened: from the shell, so offline too.

import { button, el } from "../lib/dom.js";

const SHEETS = {
  late: () => import("./late.js"),
  when: () => import("./when.js"),
  glass: () => import("./glass.js"),
  room: () => import("./room.js"),
  felt: () => import("./felt.js"),
  pan: () => import("./pan.js"),
  dough: () => import("./dough_moves.js"),
  poured: () => import("./poured.js"),
  cameOut: () => import("./came_out.js"),
};

export async function openSheet(kitchen, name, about = null) {
  const { open } = await SHEETS[name]();
  open(kitchen, about);
}

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
    TOOLS.map(([name, words, pic]) => button(words, () => openSheet(kitchen, name), { kind: "quiet", pic, key: name })),
  );
}
