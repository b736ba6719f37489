"""The kitchen's warmth as it was read during a bake of the last days: offered as today's at the next plan."""

from __future__ import annotations

from webapp.core.day.day import minute_of_day
from webapp.core.kitchen import Kitchen
from webapp.core.now.journal import fold
from webapp.core.plan.rise import RoomSpan
from webapp.forms.wish import LEAST_C, MOST_C
from webapp.kitchens.bakes import kitchen_of, readable
from webapp.store.store import Store

STILL_S = 10 * 86400  # a spell of weather lasts about so long (common practice)
_MOST_READ = 32  # bakes: the last reading of each may have been taken back
WORTH_SAYING_C = 1.0  # nearer to the usual, a plan would not change by more than its band


def room_read(store: Store, now: int, kitchen_id: str) -> RoomSpan | None:
    """The last reading that still counts and differs from what this kitchen usually has at that hour, else None.

    One that was taken back in the journal was never said, and one that no dough is planned for is not offered.
    """
    kitchen = kitchen_of(store, kitchen_id)
    with store.reading():
        told = store.bakes_where_room_was_read(kitchen_id, now - STILL_S, _MOST_READ)
        folded = [fold(plan, events) for plan, events in readable(store, kitchen_id, told)]
    rooms = [room for state in folded for room in state.rooms]
    near = [room for room in rooms if now - STILL_S <= room.start <= now and LEAST_C <= room.temp_c <= MOST_C]
    last = max(near, key=lambda room: room.start, default=None)
    if last is None or abs(last.temp_c - usual_c(kitchen, last.start)) < WORTH_SAYING_C:
        return None
    return RoomSpan(last.start, last.temp_c)


def usual_c(kitchen: Kitchen, at: int) -> float:
    """How warm this kitchen usually is at that time of day, C."""
    return kitchen.usual_c(minute_of_day(at, kitchen.zone))
