"""Who of a house is there, and that nobody is: hand-worked with round instants."""

from __future__ import annotations

import pytest

from webapp.core.day.free_time import Day, PersonDay
from webapp.core.day.span import Span
from webapp.core.plan.house import AtHome, HouseHours, is_empty, there

HOUSE = HouseHours(
    0, 100, (AtHome("Ida", ((0, 20), (60, 100)), ((0, 30), (60, 100))), AtHome("Jon", ((10, 20),), ((10, 30),)))
)


@pytest.mark.parametrize(
    ("start", "end", "presence", "names"),
    [
        (10, 20, "hands", ("Ida", "Jon")),
        (0, 10, "hands", ("Ida",)),
        (15, 25, "hands", ()),  # neither has hands free to the end of it
        (15, 25, "home", ("Ida", "Jon")),  # but both are at home
        (20, 60, "home", ()),
    ],
)
def test_who_is_there_all_the_time_is_named(start: int, end: int, presence: str, names: tuple[str, ...]) -> None:
    assert there(HOUSE, start, end, "hands" if presence == "hands" else "home") == names


@pytest.mark.parametrize(
    ("start", "end", "seen", "empty"),
    [
        (35, 45, (), True),
        (35, 45, (12,), True),  # somebody was seen before the last went, at 30
        (35, 45, (31,), False),  # and here since: they came home sooner
        (70, 80, (), False),
        (-5, 5, (), False),  # of what lies outside of the hours nothing is known
        (95, 105, (), False),
    ],
)
def test_nobody_is_there_unless_somebody_was_seen_since_the_last_one_left(
    start: int, end: int, seen: tuple[int, ...], empty: bool
) -> None:
    assert is_empty(HOUSE, start, end, "home", seen) is empty


def test_where_nobody_has_been_yet_whoever_was_seen_is_there() -> None:
    house = HouseHours(0, 100, (AtHome("Ida", ((60, 100),), ((60, 100),)),))
    assert is_empty(house, 10, 20, "hands", ())
    assert not is_empty(house, 10, 20, "hands", (5,))


def test_a_day_names_the_same_people_as_the_hours_that_a_plan_has_of_it() -> None:
    ida = PersonDay("Ida", (Span(0, 20), Span(60, 100)), away=(Span(30, 60),), busy=(Span(20, 30),))
    jon = PersonDay("Jon", (Span(10, 20),), away=(Span(0, 10), Span(30, 100)), busy=(Span(20, 30),))
    day = Day("UTC", 0, 100, (ida, jon), ())
    assert day.house == HOUSE
    assert day.who(10, 20, "hands") == ("Ida", "Jon")
    assert day.who(15, 25, "hands") == ()
    assert day.who(15, 25, "home") == ("Ida", "Jon")
