"""A dough past a mark of its is a bit past in every way, however little it has risen: warmth ages it.

By hand, of a dough that grows by 0.15 an hour from 7:30 on: at 18:30 it has 1.65, at 19:30 1.80; best at pressing is
1.36 and at loading 1.63. So it is loaded 1.10 times as far as at its best, which by the rise alone is at its best.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.now.saying import clock, done, from_here, look, said, steady_plan, step
from tests.core.now.saying import hour as at_hour
from webapp.core.now.loss import off_best
from webapp.core.plan.plan import Plan
from webapp.core.plan.way import Way

MIXED = done("mix", 7.5)
LATE = said("later", 16.5, until=at_hour(18.5))


def warm(press_past: float, load_past: float) -> Plan:
    """The steady plan, its dough past its best from so much progress on, at pressing and at loading."""
    plan = steady_plan()
    pasts = {"press": press_past, "load": load_past}
    steps = tuple(
        replace(one, mark=replace(one.mark, past=pasts[one.kind])) if one.mark is not None else one
        for one in plan.steps
    )
    return replace(plan, steps=steps)


def going_on(plan: Plan) -> Way:
    """Pressed at 18:30, two hours late, and loaded an hour after that."""
    way = next(one for one in from_here(plan, 16.5, MIXED, LATE) if one.kind == "as-planned")
    assert clock(way.press_at) == "18:30"
    assert 1.0 < way.ratio < 1.2
    return way


def test_by_its_rise_alone_it_is_at_its_best() -> None:
    assert going_on(warm(1.7, 2.9)).result == "best"


@pytest.mark.parametrize("plan", [warm(1.6, 2.9), warm(1.7, 1.64)], ids=["at pressing", "at loading"])
def test_past_a_mark_it_is_a_bit_past_in_the_way_and_costs_as_much(plan: Plan) -> None:
    """1.3 ln 1.25 = 0.29, and the same spread of what is not known (`off_best`)."""
    way, fresh = going_on(plan), going_on(warm(1.7, 2.9))
    assert way.result == "bit-past"
    assert way.ratio == fresh.ratio, "how far it has risen stays what it is"
    sd = look(plan, 16.5, MIXED, LATE).ln_sd
    costs = off_best(1.25, 1.0, sd) - off_best(way.ratio, 1.0, sd)
    assert costs > 0.05
    # Less work, or none, stands between the two.
    assert way.loss - fresh.loss == pytest.approx(costs)


def test_the_step_and_the_way_say_the_same() -> None:
    plan = warm(1.6, 2.9)
    here = look(plan, 16.5, MIXED, LATE)
    assert step(here, "press").flag == "past"
    assert going_on(plan).result == "bit-past"


def test_a_dough_that_is_far_past_stays_so() -> None:
    """Mixed half a day early: 1.4 times its best is past, mark or none."""
    way = next(
        one for one in from_here(warm(1.6, 1.64), 16.5, MIXED, said("later", 16.5, until=at_hour(26)))
        if one.kind == "as-planned"
    )  # fmt: skip
    assert way.ratio > 1.4
    assert way.result == "past"
