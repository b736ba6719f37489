"""By when to be home: worked by hand from the sample day (press 16:45 to 16:55, topping 18:45, load 18:55)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.plan.plan import Busy, Plan
from webapp.kitchens.lateness import comes_home, from_away, home_by, meeting
from webapp.reminders.moments import entries_for


def with_trade(slack_s: int) -> Plan:
    plan = sample_plan()
    return replace(plan, trade=replace(plan.trade, slack_s=slack_s))


def moved(plan: Plan, kind: str, by_s: int, **changes: int) -> Plan:
    """The plan with the steps of that kind so much later."""
    return replace(
        plan,
        steps=tuple(
            replace(one, start=one.start + by_s, end=one.end + by_s, **changes) if one.kind == kind else one
            for one in plan.steps
        ),
    )


def test_the_step_to_be_there_for_ends_the_longest_time_that_the_dough_is_left_alone() -> None:
    assert meeting(sample_plan()).kind == "press"


def test_who_comes_home_to_mix_is_met_by_mixing() -> None:
    plan = replace(sample_plan(), busy=(Busy(at(5), at(7), "away"),), made_at=at(6))
    assert meeting(plan).kind == "mix"
    assert home_by(plan) == plan.steps[0].start, "mixing later makes another day"
    assert from_away(plan)


def test_who_slept_at_home_since_comes_home_to_nothing() -> None:
    """Back the evening before, asleep until 06:30: on the day itself nobody comes home."""
    plan = replace(
        sample_plan(), busy=(Busy(at(-15), at(-7), "away"), Busy(at(-1), at(6, 30), "asleep")), made_at=at(-9)
    )
    assert comes_home(plan) is None
    assert not from_away(plan)
    assert meeting(plan).kind == "press", "it ends the longest time that the dough is left alone"


def test_of_two_long_waits_the_one_that_ends_at_coming_home_counts() -> None:
    """Mixed at 19:15 the evening before, rounded up at 07:00, pressed at 16:45: the night is longer, home is 16:30."""
    plan = moved(sample_plan(), "mix", -12 * 3600)
    again = replace(next(one for one in plan.steps if one.kind == "press"), start=at(7), end=at(7, 5), kind="round-up")
    plan = replace(plan, steps=(plan.steps[0], again, *plan.steps[1:]), made_at=at(-6))
    assert meeting(plan).kind == "press"
    assert from_away(plan)


def test_hours_away_that_are_over_or_come_after_supper_are_nobodys_coming_home() -> None:
    plan = replace(sample_plan(), busy=(Busy(at(1), at(5), "away"), Busy(at(20), at(23), "away")))
    assert comes_home(plan) is None
    assert not from_away(plan)


def test_sleep_is_not_away() -> None:
    plan = replace(sample_plan(), busy=(Busy(at(9), at(12), "asleep"),))
    assert comes_home(plan) is None


def test_somebody_who_is_back_before_the_step_comes_home_to_it() -> None:
    assert from_away(sample_plan())  # away until 16:30, pressing at 16:45


def test_pressing_by_somebody_else_is_not_coming_home() -> None:
    plan = replace(sample_plan(), busy=(Busy(at(8), at(18), "away"),))
    assert not from_away(plan)


def with_two(plan: Plan, *nobody: Busy) -> Plan:
    """The plan of a house of two, both of whom the evening suits."""
    steps = tuple(replace(one, who=("Ada", "Ben")) if one.start > at(16) else one for one in plan.steps)
    return replace(plan, steps=steps, nobody=nobody)


def test_where_the_other_is_in_nobody_is_awaited() -> None:
    """Who mixed is away until 16:30, and the other of the two has the day at home."""
    plan = with_two(sample_plan())
    assert not from_away(plan)
    assert not [one for one in entries_for(plan, kitchen=sample_kitchen()) if one.title.startswith("Home by")]


def test_where_both_come_home_together_they_are_awaited() -> None:
    plan = with_two(sample_plan(), Busy(at(8), at(16, 30), "away"))
    assert from_away(plan)
    assert [one for one in entries_for(plan, kitchen=sample_kitchen()) if one.title.startswith("Home by")]


def test_hands_in_another_dough_are_at_home() -> None:
    """The sauce of another bake is stirred at 18:40, until this one's supper: nobody comes home from it."""
    plan = sample_plan()
    plan = replace(plan, busy=(*plan.busy, Busy(at(18, 40), plan.supper, "busy")))
    assert comes_home(plan) == at(16, 30)


def test_the_proof_is_cut_to_its_least_and_supper_stays() -> None:
    """Of 110 minutes from 16:55 to topping at 18:45 it needs 45, and two more are idle before loading: 16:45 and 67."""
    assert home_by(with_trade(9 * 3600)) == at(17, 50)


def test_the_dough_may_allow_less_than_the_clock() -> None:
    assert home_by(with_trade(1500)) == at(17, 10), "16:45 and 25 minutes"


def test_it_is_said_to_the_five_minutes_on_the_safe_side() -> None:
    assert home_by(with_trade(1799)) == at(17, 10)


def test_it_is_never_before_the_step_itself() -> None:
    assert home_by(with_trade(0)) == at(16, 45)


@pytest.mark.parametrize(("lit", "by"), [((17, 20), (17, 20)), ((18, 10), (17, 50))])
def test_the_oven_has_to_be_lit_by_somebody_at_home(lit: tuple[int, int], by: tuple[int, int]) -> None:
    plan = with_trade(9 * 3600)
    oven = next(one for one in plan.steps if one.kind == "preheat")
    assert home_by(moved(plan, "preheat", at(*lit) - oven.start)) == at(*by)
