"""How often it rings on plain evenings of every built-in method, as the real planner lays them.

"Five rings or six" is the number of moments for which somebody must come in a bake of one tray, from the first step to
the last: (a preferment), mixing, home in time, (out of the fridge), pressing out, lighting the oven, topping, into the
oven, out of it, less what is close together. A bake of two days rings no more than six times on either.
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
from webapp.reminders.timed import MOMENTS

MIDNIGHT = instant_of("2026-06-08T00:00", "UTC", 0)  # the Monday on which it is planned, at six
DAY_S = 86400
SHELF = Larder({one.key: one for one in formulas()}, topping_sets(), methods())
# (leave, home, supper), minutes of the day: an office day, an early one, one with supper soon, and a day at home.
DAYS = ((480, 1020, 1170), (450, 990, 1140), (540, 1080, 1200), (0, 0, 1155))
DOUGHS = (("bench-tray", ""), ("bench-tray", "tomato-cheese"), ("poolish-tray", "herb-oil"), ("milk-round", ""))
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
    for (formula, toppings), (leave, home, supper), oven in product(DOUGHS, DAYS, OVENS):
        kitchen = kitchen_of(leave, home, oven)
        asked = f"2026-06-10T{supper // 60:02d}:{supper % 60:02d}"
        wish = Wish(asked, kitchen.pans[:1], formula, toppings, method_key=method)
        try:
            plan = plans_for(wish, kitchen, MIDNIGHT + 6 * 3600, "x", SHELF)[0]
        except PlanError:
            continue  # no such dough by this method on such a day
        found.append((plan, tuple(e for e in entries_for(plan, kitchen=kitchen) if e.alarm_min >= 0)))
    return tuple(found)


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_a_bake_of_one_tray_rings_five_times_at_least_and_six_times_a_day_at_most(method: str) -> None:
    """Four times where nobody was away and pressing out and the oven come within ten minutes, which is one ring."""
    found = evenings(method)
    assert len(found) >= 4, "enough evenings to say anything"
    for plan, rings in found:
        said = [(e.start % DAY_S / 3600, e.title) for e in rings]
        short = not plan_was_away(plan) and any("press" in (e.step_id, *e.also) and ", then" in e.title for e in rings)
        assert len(rings) >= 5 - short, said
        assert max(Counter(e.start // DAY_S for e in rings).values()) <= 6, said
        assert rings[-1].title.startswith("Out of the oven"), said


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_whatever_somebody_must_come_for_rings_within_a_quarter_of_an_hour_before_it(method: str) -> None:
    """By every route, also for who is called home for it. What is one event with another moment begins ten minutes
    later at most; a dough that goes into the fridge as soon as it is mixed is told with the mixing."""
    for plan, rings in evenings(method):
        for step in plan.steps:
            if step.kind in MOMENTS:
                (teller,) = [e for e in rings if step.step_id in (e.step_id, *e.also)]
                rang = teller.start - 60 * teller.alarm_min
                told_at_the_bowl = step.kind == "chill" and teller.step_id == "mix"
                assert told_at_the_bowl or step.start - rang <= 900, (step.kind, teller.title)


def plan_was_away(plan: Plan) -> bool:
    return any(busy.kind == "away" for busy in plan.busy)


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_events_of_plain_evenings_ring_in_order_and_none_within_ten_minutes_of_the_one_before(method: str) -> None:
    """But for what somebody comes back to the oven for."""
    for _, rings in evenings(method):
        for before, after in pairwise(rings):
            called = before.step_id.startswith("home") or after.step_id.startswith("home")
            assert before.start - 60 * before.alarm_min <= after.start - 60 * after.alarm_min
            alone = after.step_id.startswith(("lift", "turn-down"))
            assert alone or called or after.start - before.start > 600, (before.title, after.title)


@pytest.mark.parametrize("method", sorted(SHELF.methods))
def test_what_burns_or_perishes_rings_by_itself_on_every_plain_evening(method: str) -> None:
    """Out of the oven and into it, lighting it, mixing what is ripe; a fridge that calls later than ten minutes after
    mixing. What is told in another event stands there with its minute."""
    for plan, rings in evenings(method):
        leads = {e.step_id for e in rings}
        for step in plan.steps:
            teller = [e for e in rings if step.step_id in (e.step_id, *e.also)]
            if step.kind == "lift":
                assert step.step_id in leads
            if step.kind in ("load", "preheat", "mix", "preferment"):
                assert step.start - teller[0].start <= 600, (step.kind, teller[0].title)
            if step.kind == "chill" and step.step_id not in leads:
                mixed = next(s.end for s in plan.steps if s.kind == "mix")
                assert step.start - mixed <= 600
                assert step.title[1:] in teller[0].title, "its title says so"
