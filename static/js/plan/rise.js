// What a dough stands in, by the plan's numbers. Twin of the functions of webapp/core/plan/rise.py: change both or
// neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

export function roomAt(room, at) {
  let temp_c = room[0].temp_c;
  for (const span of room) {
    if (span.start <= at) {
      temp_c = span.temp_c;
    }
  }
  return temp_c;
}

export function shareOf(rise, vessel, place) {
  let out = 0;
  for (const share of rise.shares) {
    if (share.place === place && share.vessel === vessel) {
      return share.share;
    }
    if (share.place === place && out === 0) {
      out = share.share;
    }
  }
  return out;
}
