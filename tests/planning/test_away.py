"""Hours away told for one day: which day that is, and the nights on either side of it. Expected: read off a clock."""

from __future__ import annotations

from datetime import date

import pytest

from tests.planning.test_full_plan import SHELF
from webapp.core.day.day import instant_of
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Person, Wish
from webapp.planning import away, full_plan
from webapp.words.times import day_clock

ZONE = "Europe/Lisbon"
KITCHEN = Kitchen(zone=ZONE)
EVE = instant_of("2026-11-24T12:00", ZONE)


def gone(supper: str, *told: tuple[int, int], kitchen: Kitchen = KITCHEN) -> list[str]:
    """The person's hours away in words, from Tuesday noon on, when these are told for the day of supper."""
    wish = Wish(supper, kitchen.pans[:1], "bench-tray", away_today=tuple(AwaySpan(*one) for one in told))
    day = full_plan.ask_of(wish, kitchen, EVE, SHELF).day
    rows = [(day_clock(s.start, ZONE), day_clock(s.end, ZONE)) for s in day.people[0].away]
    return [f"{start[:3]} {start[-5:]}-{end[:3]} {end[-5:]}" for start, end in rows]


def test_hours_within_a_day_are_those_of_the_day_of_supper() -> None:
    assert gone("2026-11-25T19:30", (540, 720)) == ["Tue 12:00-Tue 17:45", "Wed 09:00-Wed 12:00"]


def test_a_night_away_is_kept_clear_on_either_side_of_supper() -> None:
    """22:00-6:00 told for Wednesday: the night to it and the night from it; the hours of the week before it stay."""
    assert gone("2026-11-25T19:30", (1320, 1800)) == [
        "Tue 12:00-Tue 17:45", "Tue 22:00-Wed 06:00", "Wed 22:00-Thu 01:30",
    ]  # fmt: skip


def test_a_supper_in_the_small_hours_ends_the_day_before() -> None:
    assert gone("2026-11-26T00:30", (1080, 1425)) == ["Tue 12:00-Tue 17:45", "Wed 18:00-Wed 23:45"]
    assert away.day_of_supper("2026-11-26T04:59") == date(2026, 11, 25)
    assert away.day_of_supper("2026-11-26T05:00") == date(2026, 11, 26)


def test_a_usual_night_away_ends_where_the_day_that_was_told_begins() -> None:
    shift = DayHours(360, 1350, (AwaySpan(1320, 1800),))
    kitchen = Kitchen(zone=ZONE, people=(Person("Me", (shift,) * 7),))
    assert gone("2026-11-25T19:30", kitchen=kitchen) == ["Tue 22:00-Wed 00:00"]


@pytest.mark.parametrize(
    ("at", "minute"), [("2026-11-25T23:30", 1410), ("2026-11-26T00:10", 1450), ("2026-11-24T23:50", -10)]
)
def test_minutes_count_on_past_midnight_and_back_before_it(at: str, minute: int) -> None:
    assert away.minute_on(date(2026, 11, 25), instant_of(at, ZONE), ZONE) == minute


def test_coming_home_sooner_than_midnight_helps_a_supper_after_it() -> None:
    """Out from 14:00 to 23:50, supper at half past midnight: the way out names an hour of the evening before."""
    kitchen = Kitchen(zone=ZONE, people=(Person("Me", (DayHours(480, 1560, (AwaySpan(840, 1430),)),) * 7),))
    wish = Wish("2026-11-26T00:30", kitchen.pans[:1], "bench-tray", method_key="bench-day")
    with pytest.raises(full_plan.NothingFits) as refused:
        full_plan.plans_for(wish, kitchen, instant_of("2026-11-25T09:00", ZONE), "b" * 22, SHELF)
    (home,) = [way for way in refused.value.nearest if (way.change.kind, way.change.name) == ("home-earlier", "")]
    assert home.wish.away_today is not None
    assert home.wish.away_today[-1].from_min == 840
    assert 1300 < home.wish.away_today[-1].to_min < 1430
    assert full_plan.plans_for(home.wish, kitchen, instant_of("2026-11-25T09:00", ZONE), "b" * 22, SHELF)
