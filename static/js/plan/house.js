// Who of the house is there when, as a plan knows it. Twin of webapp/core/plan/house.py: change both or neither.

export function there({ people }, start, end, presence) {
  const isThere = (one) => spans(one, presence).some(([begins, over]) => begins <= start && end <= over);
  return people.filter(isThere).map(({ name }) => name);
}

// Is nobody there, as far as is known? Not where somebody was seen since the hours say that nobody is.
export function isEmpty(house, start, end, presence, seen) {
  if (start < house.start || end > house.end || there(house, start, end, presence).length > 0) {
    return false;
  }
  const left = house.people.flatMap((one) => spans(one, presence)).map(([, over]) => over);
  const since = Math.max(house.start, ...left.filter((over) => over <= start));
  return !seen.some((at) => since < at);
}

function spans({ free, home }, presence) {
  return presence === "hands" ? free : home;
}
