"""The sliders: the same wish with one answer changed, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, Kitchen, PartOfDay, Wish
from webapp.forms.wish import Choices, read_wish
from webapp.planning import what_if

NOW = 1795589400  # 2026-11-25T06:50:00Z
KITCHEN = Kitchen(zone="Europe/Lisbon")
WISH = Wish("2026-11-25T19:30", KITCHEN.pans[:1], "bench-tray")
CHOICES = Choices({"bench-tray": ""})


def asked(wish: Wish, kitchen: Kitchen = KITCHEN, **levers: str) -> Wish:
    """The wish that comes of moving these levers."""
    return read_wish(what_if.changed(wish, kitchen, levers), kitchen, CHOICES, NOW)


def test_untouched_levers_ask_for_the_same_day() -> None:
    at = {lever.name: f"{lever.at:g}" for lever in what_if.levers(WISH, KITCHEN)}
    assert replace(asked(WISH, **at), room_c=None, room_min=None) == replace(WISH, loading_g_cm2=None)


def test_each_lever_changes_its_own_answer_alone() -> None:
    at_supper = 19 * 60 + 30
    assert asked(WISH, room="26.5") == replace(asked(WISH), room_c=26.5, room_min=at_supper)
    assert asked(WISH, supper="1230") == replace(asked(WISH), supper_local="2026-11-25T20:30")
    assert asked(WISH, home="1125") == replace(asked(WISH), away_today=(AwaySpan(8 * 60, 18 * 60 + 45),))


def test_coming_home_moves_the_end_of_the_last_hours_away() -> None:
    twice = replace(WISH, away_today=(AwaySpan(480, 720), AwaySpan(840, 1065)))
    assert asked(twice, home="1005").away_today == (AwaySpan(480, 720), AwaySpan(840, 1005))


def test_nobody_away_has_no_lever_for_coming_home() -> None:
    saturday = replace(WISH, supper_local="2026-11-28T19:30")
    assert [lever.name for lever in what_if.levers(WISH, KITCHEN)] == ["room", "home", "supper"]
    assert [lever.name for lever in what_if.levers(saturday, KITCHEN)] == ["room", "supper"]
    assert [lever.name for lever in what_if.levers(replace(WISH, away_today=()), KITCHEN)] == ["room", "supper"]


def test_the_room_stands_where_it_usually_is_at_supper() -> None:
    kitchen = replace(KITCHEN, room=(PartOfDay(0, 17.0), PartOfDay(17 * 60, 21.5)))
    assert what_if.levers(WISH, kitchen)[0].at == 21.5
    # 25 at noon, where 17 is usual, is eight more: so it is at supper, where 21.5 is.
    assert what_if.levers(replace(WISH, room_c=25.0, room_min=12 * 60), kitchen)[0].at == 29.5


def test_fahrenheit_kitchens_slide_in_fahrenheit() -> None:
    """21 C is 69.8 F."""
    kitchen = replace(KITCHEN, heat_unit="F")
    room = what_if.levers(WISH, kitchen)[0]
    assert (room.at, room.text) == (70.0, "70 °F")
    assert asked(WISH, kitchen, room="77").room_c == pytest.approx(25.0)


def test_levers_never_leave_the_day_of_supper() -> None:
    late = replace(WISH, supper_local="2026-11-25T23:00")
    supper = what_if.levers(late, KITCHEN)[-1]
    assert supper.most < 1440
    assert supper.least <= supper.at <= supper.most


@pytest.mark.parametrize(
    "wrong", [{"supper": "nan"}, {"supper": "99999"}, {"home": "-5"}, {"room": "200"}, {"room": "x"}]
)
def test_what_no_slider_can_say_is_a_mistake_with_a_way_out(wrong: dict[str, str]) -> None:
    with pytest.raises(PlanError) as caught:
        asked(WISH, **wrong)
    assert all(problem.message and problem.way_out for problem in caught.value.problems)


def test_levers_read_as_the_kitchens_clock_does() -> None:
    twelve = replace(KITCHEN, clock="12")
    read = {lever.name: lever.text for lever in what_if.levers(WISH, twelve)}
    plain = {lever.name: lever.text for lever in what_if.levers(WISH, KITCHEN)}
    hour, minute = plain["supper"].split(":")
    assert int(hour) > 12
    assert read["supper"] == f"{int(hour) - 12}:{minute} pm"
