"""How often it rings on plain evenings of every built-in method, as the real planner lays them.

"Five rings or six" is the number of moments for which somebody must come on the evening of a one-tray bake: home in
time, (mixing), pressing out, lighting the oven, topping, into the oven, out of it, less what is close together.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import pairwise, product

import pytest

from webapp.core.day.day import instant_of
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, Oven, PartOfDay, Person, Wish
from webapp.core.plan.plan import Plan
from webapp.data.doughs import formulas, methods
from webapp.data.toppings import topping_sets
from webapp.doughs.larder import Larder
from webapp.planning.full_plan import plans_for
from webapp.reminders.ics import Entry
from webapp.reminders.moments import entries_for

MIDNIGHT = instant_of("2026-06-08T00:00", "UTC", 0)  # the Monday on which it is planned, at six
DAY_S = 86400
SHELF = Larder({one.key: one for one in formulas()}, topping_sets(), methods())
# (leave, home, supper), minutes of the day: an office day, an early one, one with supper soon, and a day at home.
DAYS = ((480, 1020, 1170), (450, 990, 1140), (540, 1080, 1200), (0, 0, 1155))
OVENS = (Oven(), Oven(slab="steel", slab_mm=6.0, slab_width_cm=35.0, slab_depth_cm=30.0))


def kitchen_of(leave: int, home: int, oven: Oven) -> Kitchen:
    day = DayHours(360, 1380, (AwaySpan(leave, home),) if leave else ())
    return Kitchen(
        zone="UTC", room=(PartOfDay(0, 21.0),), people=(Person("Me", (day,) * 7),), micro_step_g=0.01, oven=oven
    )


@cache
def evenings(method: str) -> tuple[tuple[Plan, tuple[Entry, ...]], ...]:
    """The first offer for every formula and day that this method has one for, and what rings."""
    found = []
    for formula, (leave, home, supper), oven in product(("bench-tray", "poolish-tray", "milk-round"), DAYS, OVENS):
        kitchen = kitchen_of(leave, home, oven)
        asked = f"2026-06-10T{supper // 60:02d}:{supper % 60:02d}"
        wish = Wish(asked, kitchen.pans[:1], formula, method_key=method)
        try:
            plan = plans_for(wish, kitchen, MIDNIGHT + 6 * 3600, "x", SHELF)[0]
        except PlanError:
            continue  # no such dough by this method on such a day
        found.append((plan, tuple(e for e in entries_for(plan, kitchen=kitchen) if e.alarm_min >= 0)))
    return tuple(found)


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_a_plain_evening_rings_five_or_six_times_and_the_day_before_twice_at_most(method: str) -> None:
    found = evenings(method)
    assert len(found) >= 4, "enough evenings to say anything"
    for plan, rings in found:
        days = Counter((plan.supper - plan.supper % DAY_S - (e.start - e.start % DAY_S)) // DAY_S for e in rings)
        said = [(e.start % DAY_S / 3600, e.title) for e in rings]
        assert 4 <= days.pop(0) <= 6, said
        assert all(many <= 2 for many in days.values()), said
        assert rings[-1].title.startswith("Out of the oven"), said


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_events_of_plain_evenings_ring_in_order_and_none_within_ten_minutes_of_the_one_before(method: str) -> None:
    """But for the ring to leave in time, and for what somebody comes back to the oven for."""
    for _, rings in evenings(method):
        for before, after in pairwise(rings):
            assert before.start - 60 * before.alarm_min <= after.start - 60 * after.alarm_min
            alone = before.step_id.startswith("home") or after.step_id.startswith(("lift", "turn-down"))
            assert alone or after.start - before.start > 600, (before.title, after.title)
