"""Nothing fits: the change that is offered is the next one that works, not one hours away."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from webapp.core.kitchen import AwaySpan, Kitchen, Wish
from webapp.core.plan.tray import Pan
from webapp.data import doughs
from webapp.data.toppings import topping_sets
from webapp.planning import full_plan
from webapp.planning.full_plan import NothingFits
from webapp.planning.question import ask_of, wanted_of

EVENING = 1795564800 + 20 * 3600 + 25 * 60  # Wednesday 2026-11-25, 20:25 in a zone at UTC
TRAY = Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0)
SHELF = SimpleNamespace(
    formulas={one.key: one for one in doughs.formulas()}, toppings=topping_sets(), methods=doughs.methods()
)
KITCHEN = Kitchen(zone="Europe/Lisbon")
HOME_MIN = 17 * 60 + 45  # when that kitchen comes home


def wish(supper: str) -> Wish:
    return Wish(f"2026-11-26T{supper}", (TRAY,), "bench-tray", "potato-leek")


def works(asked: Wish) -> bool:
    return full_plan.fits(wanted_of(ask_of(asked, KITCHEN, EVENING, SHELF)))


def clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


@pytest.mark.many_cases
@pytest.mark.parametrize("supper_min", [18 * 60, 18 * 60 + 45, 19 * 60, 19 * 60 + 5])
def test_the_nearest_supper_and_homecoming_are_the_first_that_work_tried_five_minutes_at_a_time(
    supper_min: int,
) -> None:
    asked = wish(clock(supper_min))
    with pytest.raises(NothingFits) as caught:
        full_plan.plans_for(asked, KITCHEN, EVENING, "b" * 22, SHELF)
    ways = {one.change.kind: one.wish for one in caught.value.nearest}
    later = next(m for m in range(supper_min + 5, 24 * 60, 5) if works(wish(clock(m))))
    assert ways["eat-later"].supper_local[11:] == clock(later)
    hours = (replace(asked, away_today=(AwaySpan(8 * 60, m),)) for m in range(HOME_MIN - 5, 8 * 60, -5))
    home = next(one for one in hours if works(one))
    assert ways["home-earlier"].away_today == home.away_today
