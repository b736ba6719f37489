"""What the planner holds to be possible, the evening does too: no plan of ours has a step that nobody is there for."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import ClassVar

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from webapp.core.day.day import instant_of
from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person, Wish
from webapp.core.now.journal import fold
from webapp.core.now.loss import loss_of
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.data.doughs import formulas, methods
from webapp.planning.full_plan import plans_for
from webapp.planning.question import Booked

DAY = "2026-06-10"
MIDNIGHT = instant_of(f"{DAY}T00:00", "UTC", 0)


class Stock:
    """What can be chosen."""

    formulas: ClassVar = {one.key: one for one in formulas()}
    toppings: ClassVar[dict[str, object]] = {}
    methods: ClassVar = methods()


def an_evening(seed: int) -> Plan | None:
    """A day of one or two people with work, calls and early nights; None when no dough fits into it."""
    luck = random.Random(seed)
    people, busy = [], []
    for name in ("A", "B")[: luck.choice([1, 2])]:
        leave, home = luck.randint(84, 120) * 5, luck.randint(192, 225) * 5
        people.append(Person(name, (DayHours(360, luck.choice([1290, 1380]), (AwaySpan(leave, home),)),) * 7))
        starts = [MIDNIGHT + luck.randint(210, 264) * 300 for _ in range(luck.choice([0, 1, 2]))]
        busy.append(tuple(Span(start, start + luck.choice([900, 1800, 3600])) for start in sorted(starts)))
    room = (PartOfDay(0, luck.uniform(17, 27)),)
    kitchen = Kitchen(zone="UTC", room=room, people=tuple(people), micro_step_g=0.01)
    supper = luck.randint(225, 255) * 5
    wish = Wish(f"{DAY}T{supper // 60:02d}:{supper % 60:02d}", kitchen.pans[:1], luck.choice([*Stock.formulas]))
    try:
        return plans_for(wish, kitchen, MIDNIGHT + 6 * 3600, "x", Stock(), Booked(tuple(busy)))[0]
    except PlanError:
        return None


@pytest.mark.many_cases
def test_going_on_as_planned_never_asks_for_somebody_who_is_not_there() -> None:
    plans = [plan for seed in range(40) if (plan := an_evening(seed)) is not None]
    assert len(plans) > 25
    assert sum(plan.nobody is not None for plan in plans) > 10, "households of two"
    for plan in plans:
        mix = next(step for step in plan.steps if step.kind == "mix")
        mixed = Event("a" * 32, "x", mix.end, mix.end, "p", "done", {"step_id": mix.step_id})
        going = next(way for way in ways(plan, fold(plan, [mixed]), mix.end) if way.kind == "as-planned")
        assert going.loss < loss_of("nobody")


def test_of_two_people_the_one_who_is_free_is_enough() -> None:
    """The first is out until 21:00; the other is at home all day: supper at 19:30 stands."""
    out = DayHours(360, 1380, (AwaySpan(420, 1260),))
    both = Kitchen(zone="UTC", people=(Person("A", (out,) * 7), Person("B", (DayHours(360, 1380),) * 7)))
    wish = Wish(f"{DAY}T19:30", both.pans[:1], "bench-tray")
    plan = plans_for(wish, both, MIDNIGHT + 6 * 3600, "x", Stock())[0]
    mix = next(step for step in plan.steps if step.kind == "mix")
    mixed = Event("a" * 32, "x", mix.end, mix.end, "p", "done", {"step_id": mix.step_id})
    assert ways(plan, fold(plan, [mixed]), mix.end)[0].kind == "as-planned"
    alone = replace(plan, nobody=None)
    assert ways(alone, fold(alone, [mixed]), mix.end)[0].loss > ways(plan, fold(plan, [mixed]), mix.end)[0].loss


@pytest.mark.parametrize("at", ["2026-11-25T19:30", "2026-11-25T20:15"])
def test_no_way_of_a_late_evening_eats_in_the_night(at: str) -> None:
    """By hand: asleep from 22:30 to 06:30. A dough pressed at a quarter past nine is eaten before bed, or the evening
    after; never once the hours that the plan knows have run out, six after supper."""
    plan = plans_for(wish(supper_local=at), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    night = plan.busy[-1]
    assert (night.kind, night.end - night.start) == ("asleep", 8 * 3600)
    press = next(one for one in plan.steps if one.kind == "press")
    mix = next(one for one in plan.steps if one.kind == "mix")
    for late_s in range(0, 4 * 3600, 1800):
        now = press.start + late_s
        said = [
            Event("a" * 32, plan.bake_id, mix.end, mix.end, "p", "done", {"step_id": mix.step_id}),
            Event("d" * 32, plan.bake_id, now, now, "p", "done", {"step_id": press.step_id}),
            Event("e" * 32, plan.bake_id, now, now, "p", "later", {"until": now + 3600}),
        ]
        for way in ways(plan, fold(plan, said), now + 60):
            if way.kind != "as-planned":
                assert not night.start < way.load_at < night.start + 8 * 3600, (late_s, way.kind)


MILK = wish(formula_key="milk-round", method_key="cold", toppings_key="none", supper_local="2026-11-26T19:30")


def test_a_dough_that_was_mixed_late_is_for_tomorrows_supper_not_for_the_night() -> None:
    """A cold milk dough, to be eaten on Thursday at half past seven, is mixed on Thursday at 17:40.

    Its eight hours in the fridge would end at two in the morning: what stands first eats on Friday at half past seven;
    nothing is breakfast.
    """
    plan = plans_for(MILK, KITCHEN, MORNING, "b" * 22, SHELF)[0]
    mix = next(one for one in plan.steps if one.kind == "mix")
    at = plan.supper - 110 * 60
    said = [Event("a" * 32, plan.bake_id, at, at, "p", "done", {"step_id": mix.step_id})]
    found = ways(plan, fold(plan, said), at + 900)
    assert (found[0].kind, found[0].supper - plan.supper) == ("fridge", 24 * 3600)
    night = next(one for one in plan.busy if one.kind == "asleep" and one.start > plan.supper)
    for way in found[1:]:
        assert way.kind == "as-planned" or not night.start < way.load_at < night.end + 4 * 3600


def test_an_evening_that_is_late_but_not_in_the_night_is_not_put_off_for_a_day() -> None:
    """Three and a half hours late, after a quarter past nine: the dough of today is eaten today, young or past."""
    plan = plans_for(wish(), KITCHEN, MORNING, "b" * 22, SHELF)[0]
    mix, press = (next(one for one in plan.steps if one.kind == kind) for kind in ("mix", "press"))
    now = plan.supper + 6300
    said = [
        Event("a" * 32, plan.bake_id, mix.end, mix.end, "p", "done", {"step_id": mix.step_id}),
        Event("d" * 32, plan.bake_id, now - 3600, now - 3600, "p", "done", {"step_id": press.step_id}),
        Event("e" * 32, plan.bake_id, now, now, "p", "later", {"until": now + 3600}),
    ]
    first = ways(plan, fold(plan, said), now)[0]
    assert first.supper - plan.supper < 4 * 3600
