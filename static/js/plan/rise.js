// What a dough stands in, by the plan's numbers. Twin of the functions of webapp/core/plan/rise.py: change both or
// neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages.

export function rateAt(table, temp_c) {
  const last = table.rates.length - 1;
  const x = (temp_c - table.first_c) / table.step_c;
  if (x <= 0) {
    return table.rates[0];
  }
  if (x >= last) {
    return table.rates[last];
  }
  const i = Math.trunc(x);
  return table.rates[i] + (table.rates[i + 1] - table.rates[i]) * (x - i);
}

export function roomAt(room, at) {
  let temp_c = room[0].temp_c;
  for (const span of room) {
    if (span.start <= at) {
      temp_c = span.temp_c;
    }
  }
  return temp_c;
}

export function roomPath(room, readings) {
  let out = [...room];
  for (const reading of readings) {
    const by_c = reading.temp_c - roomAt(room, reading.start);
    const kept = out.filter((span) => span.start < reading.start);
    const rest = room
      .filter((span) => span.start > reading.start)
      .map((span) => ({ start: span.start, temp_c: span.temp_c + by_c }));
    out = [...kept, reading, ...rest];
  }
  return out;
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
