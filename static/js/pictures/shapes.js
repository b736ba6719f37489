// The sizes in which the tide chart is drawn. Twin of the same in webapp/pictures/shapes.py.

const size = (key, width, left, right, top, plot, words, axis, slot) => {
  const base = top + plot;
  return { key, width, left, right, top, plot, words, axis, slot, base, height: base + (words ? 96 : 20) };
};

export const SIZES = {
  narrow: size("narrow", 320, 6, 6, 28, 190, true, false, 62),
  wide: size("wide", 660, 52, 14, 28, 230, true, true, 64),
  small: size("small", 320, 6, 6, 28, 104, false, false, 60),
};
