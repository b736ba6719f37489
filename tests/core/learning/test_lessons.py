"""What a bake's journal teaches: which words count, and against which mark."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.samples import at, sample_plan
from webapp.core.learning.lessons import lessons, progress_at, verdict_said
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.state import State


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
    assert (verdict_said(said(**outcome)) or "") == verdict


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


def test_looks_and_pokes_teach_by_the_shares_of_the_design() -> None:
    """At pressing "about doubled" is three quarters of best there, sd 0.30; a finger's "stays" 1.25 of best, sd 0.25.

    By hand: seen when the plan's own walk had exactly best, ln 0.75 = -0.2877 and ln 1.25 = 0.2231.
    """
    plan = sample_plan()
    stands = retime(plan, fold(plan, ()), plan.made_at)
    press, load = (next(step for step in plan.steps if step.step_id == name) for name in ("press", "load"))
    assert press.mark is not None
    assert load.mark is not None
    unit = progress_at(stands, press.start)
    look, poke = lessons(plan, [event("looked", press.start, 1, seen="doubled"),
                                event("poked", load.start - 300, 2, springs="stays")])  # fmt: skip
    assert (look.seen, poke.seen) == ("look", "poke")
    assert look.observation.ln_ratio == pytest.approx(-0.2877 + math.log(press.mark.best / unit), abs=0.01)
    at_load = progress_at(stands, load.start - 300)
    assert poke.observation.ln_ratio == pytest.approx(0.2231 + math.log(load.mark.best / at_load), abs=0.01)
    assert (look.observation.read_sd, poke.observation.read_sd) == (0.30, 0.25)
    assert {one.bake_id for one in (look, poke)} == {plan.bake_id}


def test_a_word_of_a_newer_phone_teaches_nothing() -> None:
    plan = sample_plan()
    assert lessons(plan, [event("looked", at(15), 1, seen="singing")]) == ()


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
