"""At what hour a kitchen eats: what was asked for one evening alone is not what it is asked for the next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import sample_plan
from tests.web.conftest import Clock, InKitchen
from tests.web.plan.test_home import takes, words
from webapp.records import to_plain

DAY_S = 86400


def eats(real: InKitchen, clock: Clock, *hours: str) -> None:
    """A supper each evening at that hour, taken in the morning."""
    for hour in hours:
        takes(real, real.get(f"/?supper={date_of(clock)}T{hour}").text)
        clock.now += DAY_S


def date_of(clock: Clock) -> str:
    """The sample day is Wednesday 25 November 2026, ten to seven."""
    return f"2026-11-{25 + (clock.now - 1795589400) // DAY_S}"


@pytest.mark.parametrize(
    ("hours", "then"),
    [
        ((), "19:30"),
        (("20:30",), "19:30"),  # once is that evening's
        (("20:30", "20:30"), "20:30"),  # twice is a habit
        (("20:30", "20:30", "21:15"), "20:30"),
        (("20:30", "21:15"), "21:15"),  # nothing came back: the last is the best guess
        (("20:30", "19:30"), "19:30"),
    ],
)
def test_the_hour_that_suppers_come_back_to_is_asked_next(
    real: InKitchen, clock: Clock, hours: tuple[str, ...], then: str
) -> None:
    eats(real, clock, *hours)
    assert f", {then} " in words(real.get("/").text).split("Oven tray")[0]
    assert f'value="{then}"' in real.get("/week").text


def test_a_bake_that_was_given_up_is_no_supper(real: InKitchen, clock: Clock) -> None:
    where = [takes(real, real.get(f"/?supper=2026-11-{day}T20:30").text) for day in (26, 27)]
    for one in where:
        assert real.posts(f"{one}/drop").status_code == 303
    assert "19:30" in words(real.get("/").text).split("Oven tray")[0]


def test_a_plan_that_was_taken_this_minute_has_not_moved(kitchen: InKitchen, clock: Clock) -> None:
    """It could be cut three minutes before the hour asked for, and is eaten at that hour: that is the plan."""
    bake_id, kitchen_id = kitchen.has_a_bake(), kitchen.kitchen_id()
    plan = sample_plan(bake_id)
    *before, serve = plan.steps
    sooner = replace(serve, start=serve.start - 180, end=serve.end - 180)
    plan = replace(plan, steps=(*before, sooner), ready_at=plan.ready_at - 180, revision=2)
    kitchen.store.add_plan(kitchen_id, bake_id, to_plain(plan), clock.now)
    assert serve.title in (page := kitchen.get(f"/bakes/{bake_id}").text)
    assert "than planned" not in page
