"""The night the clocks go back: whatever says an hour of it says which of the two it is."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from webapp.words import calendar
from webapp.words.times import clock, day_clock

# Lisbon goes back at 01:00 UTC of 25 October 2026 (Directive 2000/84/EC), Lord Howe Island by half an hour at 15:00 UTC
# of 4 April 2026 (IANA time zone data).
NIGHT = pytest.mark.parametrize(
    ("zone", "moment", "said"),
    [
        ("Europe/Lisbon", "2026-10-25T00:30", "01:30 (first time)"),
        ("Europe/Lisbon", "2026-10-25T01:30", "01:30 (second time)"),
        ("Europe/Lisbon", "2026-10-25T02:00", "02:00"),
        ("Australia/Lord_Howe", "2026-04-04T14:45", "01:45 (first time)"),
        ("Australia/Lord_Howe", "2026-04-04T15:15", "01:45 (second time)"),
        ("Nowhere/At_All", "2026-10-25T00:30", "00:30"),  # a calendar must still be made: it says UTC
    ],
)


def at(moment: str) -> int:
    return int(datetime.fromisoformat(moment).replace(tzinfo=UTC).timestamp())


@NIGHT
def test_a_calendar_says_which_of_two_times_it_is(zone: str, moment: str, said: str) -> None:
    assert calendar.clock_words(at(moment), zone) == said
    assert calendar.in_short(at(moment), zone, "24", "press out") == f"{said} – press out"


@NIGHT
def test_a_page_says_which_of_two_times_it_is(zone: str, moment: str, said: str) -> None:
    if zone != "Nowhere/At_All":
        assert clock(at(moment), zone) == said
        assert day_clock(at(moment), zone, now=at(moment)) == said
