// Which events are taken back, when an undo can be taken back as well. Twin of webapp/core/plan/undone.py: change both or
// neither. Lists, comparison, + - * / and truncation only; same names and order in both languages.

export function undoneIds(events) {
  const undos = undosOnce(events);
  const ids = undos.map((undo) => undo.event_id);
  const takes = undos.map((undo) => placeOf(takenBack(undo), ids));
  const waits = undos.map((_, i) => countOf(i, takes));
  const dead = undos.map(() => false);
  const settled = undos.map((_, i) => i).filter((i) => waits[i] === 0);
  let nextOne = 0;
  while (nextOne < settled.length) {
    const i = settled[nextOne];
    nextOne += 1;
    if (takes[i] >= 0) {
      dead[takes[i]] = dead[takes[i]] || !dead[i];
      waits[takes[i]] -= 1;
      if (waits[takes[i]] === 0) {
        settled.push(takes[i]);
      }
    }
  }
  return undos.filter((_, i) => !dead[i]).map((undo) => takenBack(undo));
}

function undosOnce(events) {
  const out = [];
  const ids = [];
  for (const event of events) {
    if (event.kind === "undo" && !ids.includes(event.event_id)) {
      out.push(event);
      ids.push(event.event_id);
    }
  }
  return out;
}

function takenBack(undo) {
  const value = undo.data["event_id"];
  return typeof value === "string" ? value : "";
}

function placeOf(eventId, ids) {
  for (let i = 0; i < ids.length; i += 1) {
    if (ids[i] === eventId) {
      return i;
    }
  }
  return -1;
}

function countOf(place, places) {
  let out = 0;
  for (const one of places) {
    if (one === place) {
      out += 1;
    }
  }
  return out;
}
