"""Which events are taken back, when an undo can be taken back as well. Twin of static/js/plan/undone.js.

Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. An undo has force
unless an undo that has force takes it back; so an undo of an undo brings the event back. Settled from the ends of such
rows on: first the undos that nobody took back. A ring of undos, which no phone writes, keeps its force.
"""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.plan.event import Event


def undone_ids(events: Sequence[Event]) -> list[str]:
    """The ids of the events that are taken back, whatever order the events come in."""
    undos = undos_once(events)
    ids = [undo.event_id for undo in undos]
    takes = [place_of(taken_back(undo), ids) for undo in undos]
    waits = [count_of(i, takes) for i in range(len(undos))]
    dead = [False for _ in undos]
    settled = [i for i in range(len(undos)) if waits[i] == 0]
    next_one = 0
    while next_one < len(settled):
        i = settled[next_one]
        next_one += 1
        if takes[i] >= 0:
            dead[takes[i]] = dead[takes[i]] or not dead[i]
            waits[takes[i]] -= 1
            if waits[takes[i]] == 0:
                settled.append(takes[i])
    return [taken_back(undos[i]) for i in range(len(undos)) if not dead[i]]


def undos_once(events: Sequence[Event]) -> list[Event]:
    """The undos, each once."""
    out: list[Event] = []
    ids: list[str] = []
    for event in events:
        if event.kind == "undo" and event.event_id not in ids:
            out.append(event)
            ids.append(event.event_id)
    return out


def taken_back(undo: Event) -> str:
    """The id that this undo takes back, "" when it names none."""
    value = undo.data.get("event_id")
    return value if isinstance(value, str) else ""


def place_of(event_id: str, ids: Sequence[str]) -> int:
    """Where this id stands in the list, -1 when it does not."""
    for i in range(len(ids)):
        if ids[i] == event_id:
            return i
    return -1


def count_of(place: int, places: Sequence[int]) -> int:
    """How often this place is named."""
    out = 0
    for one in places:
        if one == place:
            out += 1
    return out
