"""The warm spot: who mixes an express dough is told to put it there, and where that is, wherever the day is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, wish
from webapp.core.kinds import StepKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.planning import tonight
from webapp.planning.full_plan import plans_for
from webapp.reminders.moments import entries_for
from webapp.words.plan.warm_spot import CARRIED, carried_words
from webapp.words.spoken import spoken
from webapp.words.tonight import day_lines

THERE = "Put it into the warm spot now: the oven, off, only its light on, at about 28 °C."


def express(kitchen: Kitchen) -> Plan:
    return plans_for(wish(method_key="express", supper_local="2026-11-25T21:00"), kitchen, MORNING, "b" * 22, SHELF)[0]


def step_of(plan: Plan, kind: StepKind) -> PlanStep:
    return next(step for step in plan.steps if step.kind == kind)


def test_whoever_mixed_is_told_to_put_it_there_where_that_is_and_that_nobody_is_to_light_it() -> None:
    mix = step_of(spoken(express(KITCHEN)), "mix")
    assert mix.title == "Mix the dough, then into the warm spot"
    for text in (mix.text, mix.beside):
        assert THERE in text
        assert "“dough inside”" in text


def test_a_calendar_alone_says_it_too_in_title_and_text() -> None:
    event = next(one for one in entries_for(express(KITCHEN), kitchen=KITCHEN) if one.step_id == "mix")
    assert event.title.startswith("Mix the dough, then into the warm spot")
    assert THERE in event.text


def test_the_home_page_says_it_before_the_day_is_taken() -> None:
    day = tonight.day_of(express(KITCHEN))
    said = [one for line in day_lines(day, "24", MORNING) for one in line.said]
    assert [one for one in said if "mix, warm spot" in one]
    assert "a warm spot (the oven, off, only its light on)" in day.plan.trade.sentence


def test_a_spot_that_is_no_oven_is_told_by_its_warmth_and_takes_the_tray_back() -> None:
    kitchen = replace(KITCHEN, warm_is_oven=False, warm_c=30.0, heat_unit="F")
    plan = spoken(express(kitchen))
    mix, press = step_of(plan, "mix"), step_of(plan, "press")
    assert mix.text.endswith("Put it into the warm spot now, at about 86 °F."), "30 C is 86 F"
    assert press.title == "Press out into the pan, then back into the warm spot"
    assert "Put it back into the warm spot now, at about 86 °F." in press.text
    assert "the oven, off" not in plan.trade.sentence


def test_a_day_without_a_warm_spot_speaks_of_none() -> None:
    asked = wish(method_key="bench-day")
    plan = spoken(plans_for(asked, KITCHEN, MORNING, "b" * 22, SHELF)[0])
    assert not any("warm spot" in f"{step.title} {step.text}" for step in plan.steps)


@pytest.mark.parametrize("kind", ["bulk", "proof", "rest", "warm", "warm-out"])
def test_what_hands_do_not_carry_there_is_not_called_so(kind: StepKind) -> None:
    step = PlanStep("one", kind, 0, 60, "hands", "warm", "bowl")
    assert carried_words((step,), step) == ""
    assert kind not in CARRIED
