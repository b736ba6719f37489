"""A supper that cannot be had when it was asked for: the same evening a little later is shown, with the reason."""

from __future__ import annotations

import re

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen
from tests.web.plan.test_home import links, plan_of, take_form, takes, words
from webapp.core.day.day import clock_text
from webapp.planning import tonight


def shown_at(page: str) -> str:
    """The hour of supper in the heading."""
    found = re.search(r"<h1>.*?Tonight, (\d\d:\d\d)", page, re.DOTALL)
    assert found, words(page)
    return found[1]


def test_a_newcomer_in_the_afternoon_is_shown_what_can_be_eaten_tonight(real: InKitchen, clock: Clock) -> None:
    """Home from 17:45 by a guess; the quickest dough takes less than three hours from mixing to the table."""
    clock.now = at(15)
    page = real.get("/").text
    later = shown_at(page)
    assert "19:30" < later <= "20:45"
    said = re.search(r"For 19:30 you must mix at (1\d:\d\d)\. Home already\?", words(page))
    assert said, words(page)
    assert said[1] < "17:45", "an hour at which they are away, as the line above it has it"
    assert f"Come home by {said[1]}" in words(page), "and the way out is to be there by then"
    assert f"(begins {said[1]})" not in words(page), "said once"
    plan = plan_of(real, takes(real, page))
    assert clock_text(plan.supper, plan.zone) == later, "what is taken is what is seen"


def test_whoever_is_home_already_has_supper_as_usual_with_a_tap(real: InKitchen, clock: Clock) -> None:
    clock.now = at(14, 13)
    here = links(real.get("/").text, "data-swap")["Home already?"]
    page = real.get(here).text
    assert shown_at(page) == "19:30"
    assert "home from 14:10" in words(page)
    assert take_form(page)["away"] == "08:00-14:10"


@pytest.mark.parametrize("said", ["hours=differ&away=8-17:45", "day=2026-11-26&hours=differ&away=9-19:15"])
def test_nobody_is_asked_whether_they_are_home_whose_hours_were_typed_or_on_another_day(
    real: InKitchen, clock: Clock, said: str
) -> None:
    clock.now = at(15)
    page = words(real.get(f"/?{said}").text)
    assert re.search("(Not at|For) 19:30", page)
    assert "Home already?" not in page


def test_another_answer_is_given_for_the_hour_that_was_asked_for(real: InKitchen, clock: Clock) -> None:
    """What is shown for later is no answer of anybody: who says next that they are home eats at half past seven."""
    clock.now = at(15)
    page = real.get("/").text
    assert all("supper=" not in where for where in links(page, "data-ask").values())
    assert "Come home by" in words(page), "the other way to have it then"


def test_a_supper_hours_later_is_offered_and_not_put_in_its_place(real: InKitchen, clock: Clock) -> None:
    clock.now = at(16)
    page = real.get("/?hours=differ&away=8-19:30").text
    assert '<form class="take"' not in page
    assert any(said.startswith("Eat at 2") for said in links(page, "data-swap"))


def test_five_minutes_are_not_another_evening(real: InKitchen, clock: Clock) -> None:
    clock.now = at(15)
    later = shown_at(real.get("/").text)
    before = f"{int(later[:2]):02d}:{int(later[3:]) - 5:02d}" if later[3:] >= "05" else "20:30"
    page = real.get(f"/?at={before}").text
    assert "Not tonight" not in words(page)
    assert shown_at(page) == later


def test_a_little_later_is_two_hours_at_most() -> None:
    """From memory: common practice of the house alone; nobody has published how long a table waits."""
    assert tonight.A_LITTLE_S == 2 * 3600


def test_where_nothing_small_helps_the_evening_nearest_to_the_one_asked_for_is_proposed(real: InKitchen) -> None:
    """A dough with milk for Tuesday noon, everybody out: that day's evening, not the Saturday before."""
    page = words(real.get("/?supper=2026-12-01T12:30&formula_key=milk-round&pan-oven-tray=0&pan-round-28=1").text)
    assert "Not Tuesday at 12:30" in page
    assert "Eat at 19:30" in page


def test_hours_told_of_a_day_hold_for_its_own_evening(real: InKitchen) -> None:
    asked = "/?supper=2026-12-01T12:30&formula_key=milk-round&pan-oven-tray=0&pan-round-28=1&hours=differ&away=8-17:45"
    page = real.get(asked).text
    assert "Not Tuesday at 12:30" in words(page)
    there = next(where for said, where in links(page, "data-swap").items() if said == "Eat at 19:30")
    assert "away=08:00-17:45" in there
