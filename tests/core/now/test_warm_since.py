"""A thermometer that is read late says since when it was so: the dough has done then what a dough so warm does.

How much quicker a dough of 26 C is than one of 20 C is taken from the cardinal temperature model (CTMI: Rosso, Lobry
and Flandrois 1993; lower limit -1.5, best 32.3, upper 45.4 C, which stand at 1.087 and 0.796 of the rate at 24 C).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.now.saying import constant_room, done, from_here, hour, look, said, step
from tests.samples import sample_plan
from webapp.core.now.journal import fold
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import RateTable

MIXED_H, READ_H = 7.5, 16.5
QUICKER = 1.087 / 0.796
AN_HOUR = 0.15  # of progress, at 20 C


def ctmi(c: float, least: float = -1.5, best: float = 32.3, most: float = 45.4) -> float:
    """The model as it was published, 1 at its best."""
    if not least < c < most:
        return 0.0
    below = (best - least) * (c - best) - (best - most) * (best + least - 2 * c)
    return (c - most) * (c - least) ** 2 / ((best - least) * below)


def cool() -> Plan:
    """The sample day of a dough of 20 C in a kitchen of 20 C, with 0.15 of progress in an hour."""
    plan = sample_plan()
    rates = tuple(AN_HOUR / 3600 * ctmi(c) / ctmi(20) for c in range(-2, 47))
    rise = replace(plan.rise, dough_c=20.0, table=RateTable(-2.0, 1.0, rates))
    return constant_room(replace(plan, rise=rise), 20.0)


def test_a_dough_that_was_warm_since_mixing_is_as_far_as_a_warm_dough() -> None:
    plan, mixed = cool(), done("mix", MIXED_H)
    planned = look(plan, READ_H, mixed).progress
    warm = look(plan, READ_H, mixed, said("dough", READ_H, temp_c=26, since=hour(MIXED_H))).progress
    assert planned == pytest.approx((READ_H - MIXED_H) * AN_HOUR)
    assert warm / planned == pytest.approx(QUICKER, rel=0.002)


def test_one_that_was_warm_for_an_hour_has_gained_an_hour_of_it() -> None:
    plan, mixed = cool(), done("mix", MIXED_H)
    planned = look(plan, READ_H, mixed).progress
    warm = look(plan, READ_H, mixed, said("dough", READ_H, temp_c=26, since=hour(READ_H - 1))).progress
    assert warm - planned == pytest.approx((QUICKER - 1) * AN_HOUR, rel=0.005)


@pytest.mark.parametrize("data", [{}, {"since": hour(READ_H + 1)}, {"since": "mixing"}, {"since": 0}])
def test_a_reading_that_says_no_earlier_hour_counts_from_then_on(data: dict[str, object]) -> None:
    plan, mixed = cool(), done("mix", MIXED_H)
    planned = look(plan, READ_H, mixed)
    for kind in ("dough", "room"):
        assert look(plan, READ_H, mixed, said(kind, READ_H, temp_c=26, **data)).progress == planned.progress
    assert look(plan, READ_H, mixed, said("dough", READ_H, temp_c=26, **data)).dough_c == 26


def test_a_room_that_was_warm_since_mixing_warms_the_dough_from_then_on() -> None:
    plan, mixed = cool(), done("mix", MIXED_H)
    late = look(plan, READ_H, mixed, said("room", READ_H, temp_c=26, since=hour(MIXED_H)))
    at_once = look(plan, READ_H, mixed, said("room", MIXED_H, temp_c=26))
    assert (late.progress, late.dough_c) == pytest.approx((at_once.progress, at_once.dough_c))
    assert late.progress > 1.2 * look(plan, READ_H, mixed).progress


def test_what_is_said_last_stands_against_what_was_read_meanwhile() -> None:
    plan = cool()
    read = [said("room", 10, temp_c=22), said("room", READ_H, temp_c=26, since=hour(9)), said("room", 18, temp_c=24)]
    assert [(one.start, one.temp_c) for one in fold(plan, read).rooms] == [
        (hour(9), 26), (hour(READ_H), 26), (hour(18), 24),
    ]  # fmt: skip


def test_a_dough_that_was_in_the_fridge_was_not_warm_there() -> None:
    plan, mixed = cool(), done("mix", MIXED_H)
    moves = [said("moved", 9, place="fridge"), said("moved", 16, place="bench")]
    cold = look(plan, READ_H, mixed, *moves)
    warm = look(plan, READ_H, mixed, *moves, said("dough", READ_H, temp_c=26, since=hour(MIXED_H)))
    most = 1.5 * AN_HOUR * QUICKER  # of an hour and a half before it went in
    assert cold.progress < warm.progress < cold.progress + most
    assert warm.dough_c == 26


def test_the_ways_are_those_of_the_dough_that_was_warm_all_day() -> None:
    """Best at pressing is 1.36 (`steady_plan`).

    1.36 / (0.15 * 1.366) = 6 h 38 min after 07:30, which is 14:08, long over;
    of one that is warm since it was read, 1.35 is there at 16:30, and the last hundredth 3 minutes later.
    """
    plan, mixed = cool(), done("mix", MIXED_H)
    now, since = (said("dough", READ_H, temp_c=26, **data) for data in ({}, {"since": hour(MIXED_H)}))
    best = [step(look(plan, READ_H, mixed, read), "press").best_at for read in (now, since)]
    assert best == pytest.approx([hour(READ_H) + 180, hour(MIXED_H + 1.36 / (AN_HOUR * QUICKER))], abs=60)
    ahead = [from_here(plan, READ_H, mixed, read)[0].ratio for read in (now, since)]
    assert ahead[1] > ahead[0] + 0.1
