"""What a bake's journal teaches: which words count, and against which mark."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.samples import at, sample_plan
from webapp.core.learning.lessons import lessons, progress_at, verdict_said
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan import Event, State


def said(**outcome: str) -> State:
    return replace(fold(sample_plan(), ()), outcome=tuple(outcome.items()))


@pytest.mark.parametrize(
    ("outcome", "verdict"),
    [
        ({}, ""),
        ({"timing": "early"}, "young"),
        ({"timing": "right"}, "right"),
        ({"timing": "late"}, "past"),
        ({"timing": "somehow"}, ""),
        ({"verdict": "young"}, "young"),
        ({"verdict": "from-a-newer-phone"}, ""),
        ({"verdict": "past", "timing": "right"}, "past"),
        ({"crumb": "collapsed"}, "past"),
        ({"crumb": "dense collapsed", "timing": "right"}, "past"),
        ({"crumb": "collapsed", "timing": "early"}, ""),
        ({"crumb": "good", "timing": "right"}, "right"),
    ],
)
def test_what_was_said_of_the_result_is_one_verdict(outcome: dict[str, str], verdict: str) -> None:
    assert verdict_said(said(**outcome)) == verdict


def event(kind: str, when: int, number: int = 1, **data: object) -> Event:
    return Event(f"{number:032x}", sample_plan().bake_id, when, when, "p", kind, data)


def test_nothing_seen_is_no_lesson() -> None:
    assert lessons(sample_plan(), ()) == ()
    assert lessons(sample_plan(), [event("note", at(8), text="x")]) == ()


def test_a_glass_read_before_mixing_is_no_lesson() -> None:
    assert lessons(sample_plan(), [event("glass", at(1), times=2.0)]) == ()


def test_a_verdict_on_a_bake_of_which_neither_pressing_nor_loading_was_ticked_is_no_lesson() -> None:
    plan = sample_plan()
    later = next(step for step in plan.steps if step.chain and step.end > plan.rise.mixed_at and step.mark is None)
    events = [event("done", later.end, 1, step_id=later.step_id), event("outcome", at(20), 2, timing="right")]
    assert lessons(plan, events) == ()


def test_a_verdict_on_a_dough_loaded_before_it_was_mixed_is_no_lesson() -> None:
    plan = sample_plan()
    press = next(step for step in plan.steps if step.mark)
    events = [event("done", plan.rise.mixed_at - 7200, 1, step_id=press.step_id)]
    assert lessons(plan, [*events, event("outcome", at(20), 2, timing="right")]) == ()


def test_what_the_kitchen_was_taken_for_is_added_again() -> None:
    """A plan made for a kitchen e^0.2 quicker than the middle: just as planned is e^0.2 quicker."""
    plan = sample_plan()
    quick = replace(plan, vigour_ln_mean=0.2)
    ticks = [event("done", step.end, i, step_id=step.step_id) for i, step in enumerate(plan.steps)]
    events = [*ticks, event("outcome", at(20), 999, timing="right")]
    (middle,), (learned,) = lessons(plan, events), lessons(quick, events)
    assert learned.quicker == pytest.approx(middle.quicker * math.exp(0.2))


def test_progress_between_two_points_of_the_curve_is_on_a_straight_line() -> None:
    plan = sample_plan()
    stands = retime(plan, fold(plan, ()), plan.made_at)
    one, two = stands.curve[3], stands.curve[4]
    middle = (one.at + two.at) // 2
    assert progress_at(stands, middle) == pytest.approx((one.progress + two.progress) / 2, rel=1e-6)
    assert progress_at(stands, stands.curve[0].at - 1) == 0.0
