"""A planned bake follows an oven that was changed: minutes as the planner itself gives them for that oven, and an
evening that one cook can do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, TRAY, plans, wish
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.planning.changed.oven import MOST_MOVED_S, with_oven
from webapp.planning.question import ask_of

TWO = (replace(TRAY, count=2),)
DISHES = (
    wish(),
    wish(method_key="cold", supper_local="2026-11-26T19:30"),
    wish(formula_key="oil-tray"),
    wish(pans=TWO),
    wish(pans=TWO, as_they_come=True),
)


def up_to(highest_c: float) -> Kitchen:
    """The kitchen with an oven that reaches no more."""
    return replace(KITCHEN, oven=replace(KITCHEN.oven, highest_c=highest_c))


def in_oven_of(asked: Wish, kitchen: Kitchen) -> OvenPlan:
    """How it is baked in that kitchen."""
    return ask_of(asked, kitchen, MORNING, SHELF).oven  # type: ignore[arg-type]


def cases() -> Iterator[tuple[Wish, float]]:
    """Dishes with ovens to which they come."""
    for asked in DISHES:
        for highest_c in (300.0, 240.0, 230.0, 220.0, 210.0, 200.0, 180.0):
            yield asked, highest_c


def at_the_oven(plan: Plan) -> list[list[tuple[str, int, int]]]:
    """Of each load what is done in how many minutes after it went in, and how long it takes."""
    loads = [one for one in plan.steps if one.kind == "load"]
    inside = ("turn-down", "turn", "check", "lift")
    return [
        [
            (one.kind, (one.start - load.start) // 60, one.end - one.start)
            for one in plan.steps if one.kind in inside and one.load == load.load
        ]
        for load in loads
    ]  # fmt: skip


def start(plan: Plan, kind: str) -> int:
    return next(one.start for one in plan.steps if one.kind == kind)


def test_a_cooler_oven_is_followed_at_the_same_supper_with_its_own_minutes() -> None:
    (plan, *_), cooler = plans(wish()), up_to(220.0)
    (anew, *_) = plans(wish(), cooler)
    moved = with_oven(plan, in_oven_of(wish(), cooler))
    assert moved is not None
    assert at_the_oven(moved) == at_the_oven(anew) != at_the_oven(plan), "as a day that is planned in it"
    assert [start(moved, kind) for kind in ("load", "top", "serve")] == [
        start(plan, kind) for kind in ("load", "top", "serve")
    ]
    dials = [action.dial_c for action in moved.oven.programme if action.dial_c]
    assert dials == [220.0]


def test_where_it_bakes_much_longer_the_tray_goes_in_sooner_with_what_is_done_beside_it() -> None:
    (plan, *_) = plans(wish())
    moved = with_oven(plan, in_oven_of(wish(), up_to(210.0)))
    assert moved is not None
    sooner_s = start(plan, "load") - start(moved, "load")
    assert 0 < sooner_s <= 900, "a quarter of an hour, as MOST_MOVED_S is explained"
    assert start(plan, "top") - start(moved, "top") == sooner_s
    assert start(moved, "preheat") == start(moved, "load") - moved.oven.preheat_min * 60
    assert start(moved, "serve") == start(plan, "serve")


def test_an_oven_in_which_supper_would_be_late_is_not_followed() -> None:
    (plan, *_) = plans(wish())
    assert with_oven(plan, in_oven_of(wish(), up_to(180.0))) is None
    (two, *_) = plans(wish(pans=TWO))
    assert with_oven(two, replace(two.oven, loads=1)) is None, "trays that go in otherwise are another evening"


@pytest.mark.many_cases
def test_loads_lie_further_apart_where_each_bakes_longer() -> None:
    followed = 0
    for asked, highest_c in cases():
        (plan, *_) = plans(asked)
        moved = with_oven(plan, in_oven_of(asked, up_to(highest_c)))
        if moved is None or len(at_the_oven(moved)) < 2:
            continue
        followed += 1
        loads = [one.start for one in moved.steps if one.kind == "load"]
        lifted = [one.end for one in moved.steps if one.kind == "lift"]
        assert all(out + moved.oven.recovery_min * 60 <= into for out, into in zip(lifted, loads[1:], strict=False))
    assert followed > 2


@pytest.mark.many_cases
@pytest.mark.parametrize(("asked", "highest_c"), list(cases()))
def test_a_followed_evening_is_one_that_a_cook_can_do(asked: Wish, highest_c: float) -> None:
    (plan, *_), kitchen = plans(asked), up_to(highest_c)
    moved = with_oven(plan, in_oven_of(asked, kitchen))
    if moved is None:
        return
    with_load = ("load", "turn-down") if moved.oven.loads > 1 else ("load",)  # the dial is turned as the door shuts
    alone = [one for one in moved.oven.programme if one.action not in with_load]
    assert (
        at_the_oven(moved)
        == [[(one.action, one.minute, 120 if one.action == "lift" else 60) for one in alone]] * moved.oven.loads
    )
    chain = [one for one in moved.steps if one.chain]
    assert list(moved.steps) == sorted(moved.steps, key=lambda one: (one.start, not one.chain, one.end))
    before = [one for one in plan.steps if one.chain]
    inside = ("turn-down", "turn", "check", "lift")
    assert [one.step_id for one in chain if one.kind not in inside] == [
        one.step_id for one in before if one.kind not in inside
    ]
    for one, after in pairwise(chain):
        gap = max(0, after.start - one.end)
        assert after.wait_least_s <= gap, after.step_id
        assert gap <= after.wait_most_s or after.kind == "relax", after.step_id
    assert abs(start(moved, "load") - start(plan, "load")) <= MOST_MOVED_S + 600
    assert [one.start for one in chain if one.kind == "serve"][:1] == [start(plan, "serve")]
    untouched = ("mix", "chill", "temper", "press", "relax", "fold")
    for kind in untouched:
        assert [one for one in moved.steps if one.kind == kind] == [one for one in plan.steps if one.kind == kind]
    anchors = {one.step_id: one.start for one in moved.steps}
    sides = [one for one in moved.steps if not one.chain]
    assert all(one.start == anchors[one.anchor] + one.offset_s for one in sides)
    alone = [one for one in moved.steps if one.presence == "hands" and one.kind != "serve"]
    was = {one.step_id: one for one in plan.steps}
    for one, after in pairwise(sorted(alone, key=lambda step: step.start)):
        if one.end > after.start:  # a tray is topped while another one is in the oven: put down for that minute
            assert was[one.step_id].end > was[after.step_id].start
