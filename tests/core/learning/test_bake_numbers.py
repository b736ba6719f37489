"""A bake in numbers, from what really happened."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from tests.samples import at, sample_plan
from webapp.core.kinds import BakeNumber, ShelfHeight
from webapp.core.kitchen import Oven
from webapp.core.learning.bake_numbers import numbers_of
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.oven import OvenSetting
from webapp.core.plan.plan import Plan
from webapp.core.plan.weights import WeighLine


def _numbers(plan: Plan, done: dict[str, int], oven: Oven = Oven()) -> dict[str, float]:  # noqa: B008  # frozen
    events = [
        Event(f"{i:032x}", plan.bake_id, when, when, "p", "done", {"step_id": step})
        for i, (step, when) in enumerate(done.items())
    ]
    return numbers_of(plan, retime(plan, fold(plan, events), max(done.values(), default=at(6))), oven)


AS_IT_WENT = {
    "mix": at(7, 30),
    "press": at(16, 55),
    "preheat": at(18, 31),
    "top": at(18, 53),
    "load": at(18, 56),
    "turn-down": at(19, 3),
    "check": at(19, 20),
    "lift": at(19, 30),
}


def test_minutes_are_those_that_really_passed() -> None:
    found = _numbers(sample_plan(), AS_IT_WENT)
    assert found["heat_short_min"] == pytest.approx(45 - 25, abs=2)  # lit at 18:31, loaded at 18:56, 45 planned
    assert found["turn_down_late_min"] == pytest.approx(7, abs=2)
    assert found["bake_long_min"] == pytest.approx(34 - 23, abs=3)  # 18:56 to 19:30, 23 at most expected
    assert found["proof_min"] == pytest.approx(121, abs=2)


@pytest.mark.parametrize(("shelf", "is_lowest"), [("low", 1.0), ("middle", 0.0)])
def test_the_shelf_is_the_plans(shelf: ShelfHeight, is_lowest: float) -> None:
    plan = sample_plan()
    setting = OvenSetting("C", 250.0, shelf, 4, "tray", 0.0, True, 1, 250.0, 0.0, 90.0)
    there = replace(plan, oven=replace(plan.oven, setting=setting))
    assert _numbers(there, AS_IT_WENT)["lowest"] == is_lowest


def test_the_shelf_of_a_plan_of_before_there_were_facts_is_not_known() -> None:
    plan = sample_plan()
    assert plan.oven.setting is None
    assert "lowest" not in _numbers(plan, AS_IT_WENT)


def test_a_bake_as_planned_speaks_against_nothing() -> None:
    found = _numbers(sample_plan(), {})
    assert found["heat_short_min"] == 0
    assert found["bake_short_min"] < 0 > found["bake_long_min"]
    assert found["press_ratio"] == pytest.approx(1.0, abs=0.1)


def test_a_dough_pressed_late_shows_as_further_risen() -> None:
    plan = sample_plan()
    late = {name: when + 2 * 3600 if name != "mix" else when for name, when in AS_IT_WENT.items()}
    usual = _numbers(plan, AS_IT_WENT)
    assert _numbers(plan, late)["press_ratio"] > usual["press_ratio"] * 1.1
    assert _numbers(plan, late)["load_past_ratio"] > usual["load_past_ratio"]


def test_what_oven_and_dough_are_is_told() -> None:
    found = _numbers(sample_plan(), {}, Oven(dial_error_c=-18.0, measured_preheat_min=40))
    assert (found["slab"], found["fan"], found["measured"], found["dial_off_c"]) == (1.0, 0.0, 1.0, 18.0)
    assert (found["hydration_percent"], found["salt_percent"], found["fat_percent"]) == (70.0, 2.2, 3.0)
    assert found["topping_g_cm2"] == pytest.approx((190 + 234) / 1064)
    assert found["loading_g_cm2"] == 0.70


def test_a_dough_with_milk_says_nothing_about_water() -> None:
    plan = sample_plan()
    milk = WeighLine("milk", "Milk", "other", "dough", 50, 240, 240)
    assert "hydration_percent" not in _numbers(replace(plan, lines=(*plan.lines, milk)), {})


def test_a_plan_without_an_oven_leaves_the_oven_s_numbers_out() -> None:
    plan = sample_plan()
    found = _numbers(replace(plan, steps=plan.steps[:1]), {})
    absent = {"heat_short_min", "bake_short_min", "bake_long_min", "proof_min", "press_ratio", "load_ratio"}
    assert not absent & set(found)


def test_before_mixing_there_is_no_dough_to_take_the_temperature_of() -> None:
    plan = sample_plan()
    empty = replace(retime(plan, fold(plan, []), at(6)), curve=())
    assert "dough_c" not in numbers_of(plan, empty, Oven())


def test_every_number_has_a_name_for_people() -> None:
    assert set(_numbers(sample_plan(), AS_IT_WENT)) <= set(get_args(BakeNumber))


def test_a_step_without_a_mark_says_nothing_of_the_rise() -> None:
    plan = sample_plan()
    bare = replace(plan, steps=tuple(replace(step, mark=None) for step in plan.steps))
    assert not {"press_ratio", "load_ratio", "load_past_ratio"} & set(_numbers(bare, AS_IT_WENT))


def test_rise_is_told_as_a_share_of_its_marks() -> None:
    plan = sample_plan()
    found = _numbers(plan, {})
    seen = {step.step_id: step.progress for step in retime(plan, fold(plan, []), at(6)).steps}
    marks = {step.step_id: step.mark for step in plan.steps if step.mark}
    for name in ("press", "load"):
        mark = marks[name]
        assert mark
        assert found[f"{name}_ratio"] * mark.best == pytest.approx(seen[name])
    assert marks["load"]
    assert found["load_past_ratio"] * marks["load"].past == pytest.approx(seen["load"])
