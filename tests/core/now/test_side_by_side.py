"""Of two trays one is topped while the other bakes: what is said of one settles nothing of the other."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest

from tests.made_up import made_up_events
from tests.planning.test_full_plan import KITCHEN, TRAY, plans, wish
from webapp.core.kitchen import Oven
from webapp.core.now.journal import fold
from webapp.core.now.marked import follows_index, overtakes, ready_index
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import RetimedStep
from webapp.core.plan.steps import PlanStep


@cache
def party(trays: int = 2, as_they_come: bool = False) -> Plan:
    pans = (replace(TRAY, count=trays),)
    asked = wish(method_key="", supper_local="2026-11-26T20:00", pans=pans, as_they_come=as_they_come)
    return plans(asked)[0]


def step(step_id: str) -> PlanStep:
    return next(one for one in party().steps if one.step_id == step_id)


def seen(now: int, *ticked: tuple[str, int]) -> dict[str, RetimedStep]:
    plan = party()
    events = [
        Event(f"{n:032x}", plan.bake_id, at, at, "p", "done", {"step_id": key}) for n, (key, at) in enumerate(ticked)
    ]
    return {one.step_id: one for one in retime(plan, fold(plan, events), now).steps}


def ticked_until(step_id: str) -> list[tuple[str, int]]:
    before = [one for one in party().steps if one.end <= step(step_id).end]
    return [(one.step_id, one.end) for one in before]


@pytest.mark.many_cases
@pytest.mark.parametrize(("trays", "as_they_come"), [(2, False), (3, False), (2, True), (3, True)])
def test_a_party_is_timed_as_it_was_planned_before_anything_happens(trays: int, as_they_come: bool) -> None:
    plan = party(trays, as_they_come)
    told = retime(plan, fold(plan, ()), plan.made_at)
    for planned, now in zip(plan.steps, told.steps, strict=True):
        assert (now.start, now.end, now.flag) == (planned.start, planned.end, ""), planned.step_id
    assert (told.ready_at, told.late_s) == (plan.ready_at, 0)


def test_a_tray_that_was_turned_round_does_not_take_the_topping_of_the_next_off_the_list() -> None:
    top, turn = step("top-2"), step("turn-1")
    assert top.start < turn.start < top.end, "topped while the first one bakes"
    now = turn.end + 60
    told = seen(now, *ticked_until("load-1"), ("turn-1", turn.end))
    assert told["top-2"].status == "open"
    assert (told["top-2"].start, told["top-2"].end) == (top.start, top.end)
    looked = seen(step("check-1").end, *ticked_until("load-1"), ("check-1", step("check-1").end))
    assert looked["turn-1"].status == "passed", "of its own tray it settles what came before"


def test_the_next_loading_settles_the_topping_that_nobody_ticked() -> None:
    load = step("load-2")
    told = seen(load.end + 60, *ticked_until("load-1"), ("load-2", load.end))
    assert told["top-2"].status == "passed"


def test_a_tray_is_not_loaded_before_its_own_topping_is_done_however_long_that_takes() -> None:
    # By hand: topping begun 20 min late, as the first tray is lifted, ends as much later, and then it is loaded.
    top, lift = step("top-2"), step("lift-1")
    later = lift.end - top.start
    plan = party()
    ticks = ticked_until("load-1")
    events = [
        Event(f"{n:032x}", plan.bake_id, at, at, "p", "done", {"step_id": key}) for n, (key, at) in enumerate(ticks)
    ]
    events.append(Event("f" * 32, plan.bake_id, top.start, top.start, "p", "later", {"until": lift.end}))
    told = {one.step_id: one for one in retime(plan, fold(plan, events), top.start + 60).steps}
    assert told["top-2"].start == lift.end
    assert told["top-2"].end == top.end + later
    assert told["lift-1"].start == lift.start, "heat does not wait"
    assert told["load-2"].start >= told["top-2"].end


def test_supper_begins_with_the_first_tray_that_is_eaten_and_without_any_with_the_last_step() -> None:
    plan = party()
    chain = [one for one in plan.steps if one.chain]
    assert chain[ready_index(chain)].kind == "serve"
    eaten = [replace(chain[-1], step_id=f"serve-{n}", load=n) for n in (1, 2)]
    assert ready_index([*chain[:3], *eaten]) == 3
    assert ready_index(chain[:3]) == 2
    assert ready_index([]) == -1


def test_a_first_tray_on_the_table_does_not_settle_the_loading_of_the_second() -> None:
    served, loaded = replace(step("serve"), load=1), step("load-2")
    assert not overtakes(served, loaded)
    assert overtakes(step("serve"), loaded), "eaten all together, everything has happened"
    assert overtakes(loaded, served)


@pytest.mark.many_cases
@pytest.mark.parametrize("heats_min", [0, 12])
def test_whatever_happens_the_oven_is_never_lit_before_the_dough_is_out_of_it(heats_min: int) -> None:
    """Journals of clumsy phones; in a quick oven (12 min) it is the tray that stands in it, else the bowl."""
    kitchen = replace(KITCHEN, oven=Oven(measured_preheat_min=heats_min))
    plan = plans(wish(method_key="express", supper_local="2026-11-28T21:00"), kitchen)[0]
    seen = 0
    for n in range(200):
        chance = random.Random(f"out of the oven {n}")
        events = [one for one in made_up_events(chance, plan) if one.kind in ("done", "later", "supper", "undo")]
        now = chance.randint(plan.steps[0].start, plan.steps[-1].end)
        stands = {one.step_id: one for one in retime(plan, fold(plan, events), now).steps}
        out, lit = stands["warm-out"], stands["preheat"]
        if out.status == lit.status == "open":
            seen += 1
            assert lit.start >= out.end, f"journal {n}"
    assert seen > 40


def test_the_next_tray_waits_until_the_oven_is_hot_again_however_late_the_one_before_came_out() -> None:
    """The plan's own minutes for it (core/oven/slab.py) are kept: its text says to wait so long as well."""
    plan = party(3, False)
    recovery_s = plan.oven.recovery_min * 60
    assert recovery_s > 0
    first = next(step for step in plan.steps if step.kind == "load")
    late_s = 900
    done = [step for step in plan.steps if step.chain and step.start <= first.start]
    events = [
        Event(
            f"{i:032x}",
            plan.bake_id,
            step.end + late_s * (step is first),
            step.end + late_s,
            "p",
            "done",
            {"step_id": step.step_id},
        )
        for i, step in enumerate(done)
    ]
    timed = {one.step_id: one for one in retime(plan, fold(plan, events), first.end + late_s + 60).steps}
    lifts = [step for step in plan.steps if step.kind == "lift"]
    loads = [step for step in plan.steps if step.kind == "load"]
    for lift, load in zip(lifts, loads[1:], strict=False):
        assert timed[load.step_id].start >= timed[lift.step_id].end + recovery_s


def eaten(now: int, *ticked: tuple[str, int]) -> dict[str, int]:
    """Of three trays that are eaten as they come: when each is eaten, by whoever looks then."""
    plan = party(3, True)
    events = [
        Event(f"{n:032x}", plan.bake_id, at, at, "p", "done", {"step_id": key}) for n, (key, at) in enumerate(ticked)
    ]
    told = retime(plan, fold(plan, events), now)
    return {one.step_id: one.start for one in told.steps if one.step_id.startswith("serve")} | {"eat": told.eat_at}


def test_a_tray_that_is_out_is_eaten_at_its_time_however_late_the_next_one_goes_in() -> None:
    """The second tray is twenty minutes late: the third waits for it, the first is on the table."""
    plan = party(3, True)
    at = {one.step_id: one for one in plan.steps}
    ticked = [(one.step_id, one.end) for one in plan.steps if one.end <= at["lift-1"].end]
    late = eaten(at["load-2"].start + 1200, *ticked)
    assert (late["serve-1"], late["eat"]) == (plan.supper, plan.supper)
    for tray in ("serve-2", "serve-3"):
        assert 900 < late[tray] - at[tray].start <= 1200, "less what was planned to spare"


def test_nobody_has_to_say_that_they_eat_before_the_next_tray_is_topped() -> None:
    plan = party(3, True)
    at = {one.step_id: one for one in plan.steps}
    ticked = [(one.step_id, one.end) for one in plan.steps if one.end <= at["load-2"].end]
    told = eaten(at["serve-1"].start + 240, *ticked)
    assert told["serve-1"] == told["eat"] == plan.supper
    assert told["serve-3"] == at["serve-3"].start


def test_what_comes_first_follows_nothing_and_what_follows_meals_alone_the_last_of_them() -> None:
    meal = next(one for one in party(as_they_come=True).steps if one.kind == "serve")
    assert follows_index([meal], 0) == -1
    assert follows_index([meal, meal, next(one for one in party().steps if one.kind == "load")], 2) == 1
