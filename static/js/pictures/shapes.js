// The sizes in which the tide chart is drawn. Twin of the same in webapp/pictures/shapes.py.

const size = (key, width, left, right, top, plot, pegs, slot) => {
  const base = top + plot;
  return { key, width, left, right, top, plot, pegs, slot, base, height: base + (pegs ? 82 : 20) };
};

export const SIZES = {
  narrow: size("narrow", 320, 6, 6, 28, 120, 4, 62),
  wide: size("wide", 660, 14, 14, 28, 186, 5, 74),
  small: size("small", 320, 6, 6, 8, 88, 4, 62),
};
