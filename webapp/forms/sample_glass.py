"""The test glass: what was typed about it, into instants, heights and temperatures."""

from __future__ import annotations

from datetime import date, timedelta

from webapp.core.day.day import date_text, instant_of
from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen
from webapp.core.learning.sample_glass import COLDEST_C, WARMEST_C
from webapp.forms.in_units import read_heat
from webapp.forms.typed import Answers, clock_minutes, clock_text
from webapp.words.problems import typed as said

HEIGHTS = (0.1, 1000.0)  # in whatever the ruler shows: only their ratio counts


def read_room(answers: Answers, kitchen: Kitchen) -> float | None:
    """How warm the kitchen is, C; None when nothing is typed."""
    if not answers.text("room"):
        return None
    room_c = read_heat(answers, "room", kitchen, COLDEST_C, WARMEST_C)
    answers.done()
    return room_c


def read_reading(answers: Answers, kitchen: Kitchen, now: int) -> tuple[int, float, float | None]:
    """(instant, times the first height, room C or None) of one reading; no time typed is now."""
    first = answers.number("first", *HEIGHTS, what=said.FIRST_HEIGHT)
    height = answers.number("height", *HEIGHTS, what=said.HEIGHT_NOW)
    at = _instant(answers, kitchen, now)
    room_c = read_heat(answers, "room", kitchen, 0.0, 50.0) if answers.text("room") else None
    answers.done()
    return at, height / first, room_c


def _instant(answers: Answers, kitchen: Kitchen, now: int) -> int:
    """The last time that the clock showed this."""
    typed = answers.text("at")
    if not typed:
        return now
    minutes = clock_minutes(typed)
    if minutes is None:
        answers.wrong("at", *said.no_reading_time(typed))
        return now
    today = date.fromisoformat(date_text(now, kitchen.zone))
    for day in (today, today - timedelta(days=1)):
        for fold in (1, 0):
            try:
                at = instant_of(f"{day}T{clock_text(minutes)}", kitchen.zone, fold)
            except PlanError:
                continue
            if at <= now:
                return at
    answers.wrong("at", *said.jumped_over(typed))
    return now
