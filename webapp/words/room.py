"""How a reading of the room is spoken of afterwards."""

from __future__ import annotations

from webapp.core.kitchen import Kitchen
from webapp.core.plan import RoomSpan
from webapp.core.units import heat_text
from webapp.words.times import date_words, local_time, weekday

NOON_H, EVENING_H = 12, 17


def still_so(room: RoomSpan, kitchen: Kitchen, now: int) -> str:
    """ "26 °C last Thursday evening: still so"."""
    return f"{heat_text(room.temp_c, kitchen.heat_unit)} {_when(room.start, kitchen.zone, now)}: still so"


def _when(at: int, zone: str, now: int) -> str:
    """ "this morning", "yesterday evening", "last Thursday evening", "on Monday 16 November"."""
    local = local_time(at, zone)
    part = "morning" if local.hour < NOON_H else "afternoon" if local.hour < EVENING_H else "evening"
    days = (local_time(now, zone).date() - local.date()).days
    if days == 0:
        return f"this {part}"
    if days == 1:
        return f"yesterday {part}"
    return f"last {weekday(at, zone)} {part}" if days < 7 else f"on {date_words(local)}"
