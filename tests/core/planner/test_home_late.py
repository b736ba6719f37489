"""A way that begins just after coming home leaves no room to be late: it costs what a dough without slack costs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.wishes import a_dough, method, wish
from webapp.core.day.day import instant_of
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Person
from webapp.core.planner.candidates import lay_out, searches
from webapp.core.planner.cost import begun_points
from webapp.core.planner.offer import Offer, Wanted
from webapp.core.planner.propose import propose
from webapp.core.planner.slots import Slots

LISBON = "Europe/Lisbon"
DAY = "2026-11-25"
AT_WORK = Person("Ana", (DayHours(6 * 60, 23 * 60, (AwaySpan(8 * 60, 17 * 60 + 45),)),) * 7)
UNTIL_SIX = Person("Bo", (DayHours(6 * 60, 23 * 60, (AwaySpan(8 * 60, 18 * 60),)),) * 7)
AT_HOME = Person("Cy", (DayHours(6 * 60, 23 * 60),) * 7)


def evening(*people: Person, supper: str = f"{DAY}T21:00") -> Wanted:
    """A warm spot, a kitchen that is not known yet: what a newcomer with a day job is asked about at half past six."""
    kitchen = Kitchen(zone=LISBON, people=people)
    return wish(supper, f"{DAY}T06:30", kitchen=kitchen, dough=a_dough(warm_c=28.0))


def begun_at(wanted: Wanted, clock: str, minutes: int = 15) -> int:
    slots = Slots(wanted.day, wanted.now)
    return slots.begun(minutes)[instant_of(f"{DAY}T{clock}", LISBON) // 300 - slots.first]


@pytest.mark.parametrize(("since", "points"), [(0, 72), (2, 66), (23, 3), (24, 0), (100, 0)])
def test_each_five_minutes_short_of_two_hours_cost_three_points(since: int, points: int) -> None:
    assert begun_points(since) == points


def test_by_hand_ten_minutes_after_coming_home_cost_66_points_and_two_hours_none() -> None:
    """Home at 17:45: at 17:55 an hour and fifty minutes are missing, 22 times 5 min of 3 points."""
    wanted = evening(AT_WORK)
    assert [begun_at(wanted, clock) for clock in ("17:45", "17:55", "18:45", "19:40", "19:45")] == [72, 66, 36, 3, 0]
    assert begun_at(wanted, "06:45") == 0, "getting up is no coming home"
    assert begun_at(wanted, "12:00") == 0, "nobody is there"


def test_of_two_who_come_home_the_one_with_more_room_counts_and_who_is_there_all_day_has_all_of_it() -> None:
    assert begun_at(evening(AT_WORK, UNTIL_SIX), "18:05") == 60 == begun_at(evening(UNTIL_SIX, AT_WORK), "18:05")
    assert begun_at(evening(AT_WORK, AT_HOME), "17:55") == 0


def costs(offer: Offer, key: str) -> int:
    return sum(one.points for one in offer.costs if one.key == key)


def test_a_quick_way_begun_ten_minutes_after_work_does_not_come_before_one_with_an_hour_to_spare() -> None:
    answer = propose(evening(AT_WORK))
    quick = next(one for one in answer.offers if one.method == "express")
    assert answer.offers[0].method != "express"
    assert "slack" in [one.key for one in quick.worse]
    assert sum(one.points for one in quick.costs) == quick.score
    at_home = propose(evening(AT_HOME))
    assert next(one for one in at_home.offers if one.method == "express").score < quick.score


@pytest.mark.parametrize(
    ("supper", "points"), [(f"{DAY}T21:00", 36), ("2026-11-26T06:40", 36), ("2026-11-26T06:45", 0)]
)
def test_a_supper_twelve_hours_off_or_more_has_room_for_a_later_beginning(supper: str, points: int) -> None:
    """Begun at 18:45, an hour after coming home: another hour is missing, twelve times 3 points."""
    wanted = evening(AT_WORK, supper="2026-11-26T19:30")
    chain = searches(lay_out(replace(wanted, methods=(method("cold"),))))[0].chain
    begun = instant_of(f"{DAY}T18:45", LISBON) // 300
    assert chain.begun(begun, instant_of(supper, LISBON)) == points
