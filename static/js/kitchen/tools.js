// What the person can say at any time. Each sheet is fetched when it is first opened: from the shell, so offline too.

import { button, el } from "../lib/dom.js";

const SHEETS = {
  late: () => import("../sheets/late.js"),
  when: () => import("../sheets/when.js"),
  glass: () => import("../sheets/glass.js"),
  room: () => import("../sheets/room.js"),
  felt: () => import("../sheets/dough_warmth.js"),
  pan: () => import("../sheets/pan.js"),
  dough: () => import("../sheets/dough_moves.js"),
  poured: () => import("../sheets/poured.js"),
  cameOut: () => import("../sheets/came_out.js"),
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
