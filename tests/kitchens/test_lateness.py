"""By when to be home: worked by hand from the sample day (press 16:45 to 16:55, topping 18:45, load 18:55)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.samples import at, sample_kitchen, sample_plan
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.kitchens.bakes import as_planned
from webapp.kitchens.lateness import comes_between, comes_home, from_away, home_by, meeting, proofs
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


def stands_with(plan: Plan, **early_at: int) -> Retimed:
    """As planned; the named steps' dough is likely risen enough from then on."""
    found = as_planned(plan).retimed
    steps = (replace(one, early_at=early_at.get(one.step_id.replace("-", "_"), one.early_at)) for one in found.steps)
    return replace(found, steps=tuple(steps))


def test_what_is_cut_for_who_comes_late_is_the_proof() -> None:
    """By the practice above: 110 minutes of proof begun at 16:45, of which 65 are gone at ten to six."""
    plan = with_trade(9 * 3600)
    assert proofs(plan, as_planned(plan).retimed, at(17, 50)) == (6600, 2700)
    assert proofs(plan, as_planned(plan).retimed, at(16, 45)) is None, "nothing is cut"
    assert proofs(plan, as_planned(plan).retimed, at(17, 55)) is None, "it needs 45 minutes: supper moves"


def test_where_more_than_the_proof_is_cut_no_figure_is_promised() -> None:
    """Out at 16:35 and pressed out at once, or an hour later, which may be at once too: which gives is the cook's."""
    plan = with_trade(9 * 3600)
    mix, press, *rest = plan.steps
    out = replace(mix, step_id="temper", kind="temper", start=at(16, 35), end=at(16, 45))
    met = replace(plan, steps=(mix, out, replace(press, wait_least_s=0), *rest))
    assert proofs(met, as_planned(met).retimed, at(17, 35)) == (6600, 3000), "an hour later than 16:35"
    apart = moved(moved(met, "temper", -300), "press", 300)
    assert proofs(apart, as_planned(apart).retimed, at(17, 35)) is None


def test_one_comes_from_when_it_has_likely_risen_or_from_the_step_itself() -> None:
    plan = with_trade(9 * 3600)
    assert comes_between(plan, stands_with(plan, press=at(14)), at(17, 50)) == (at(14), at(17, 50))
    assert comes_between(plan, stands_with(plan, press=at(17)), at(17, 50)) == (at(16, 45), at(17, 50))
    assert comes_between(plan, stands_with(plan, press=at(17)), at(16, 45)) is None, "no time in between"
    assert comes_between(plan, stands_with(plan, press=0, load=0), at(17, 50)) is None, "no rise ends there"
