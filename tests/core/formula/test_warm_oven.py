"""A warm spot that is the oven: the dough is out before it is lit, with time to heat. Waits are worked by hand."""

from __future__ import annotations

from itertools import product

import pytest

from tests.wishes import method, shipped_methods
from webapp.core.formula.method import Method, MethodStep, problems_of
from webapp.core.formula.warm_oven import out_before_lit

MIX_WARM = MethodStep("mix", place="warm")
PRESS, LOAD = MethodStep("press", 10, 60, 90, 180), MethodStep("load", 5, 20, 30, 90)


def made(*steps: MethodStep) -> Method:
    return Method("own", "Own", steps)


WARM = MethodStep("warm", 5, 0, 30, 60)
CHILLED = made(MIX_WARM, MethodStep("chill", 5, 30, 30, 30), MethodStep("temper", 5, 480, 600, 700), PRESS, LOAD)


def told(method: Method) -> list[tuple[str, str, int, int, int]]:
    return [(s.kind, s.goes_to, s.wait_least_min, s.wait_best_min, s.wait_most_min) for s in method.steps]


def test_a_tray_comes_out_of_the_oven_as_a_step_of_its_own_and_then_there_is_time_to_heat() -> None:
    # 14 min to heat are 15 on the grid. Of 20, 30 or 90 min from pressing to loading 5 go for carrying it out: what is
    # left for the warm spot is nothing (10 at the least), 10, and 70.
    assert told(out_before_lit(method("express"), 14)) == [
        ("mix", "warm", 0, 0, 0), ("press", "warm", 60, 90, 180),
        ("warm-out", "bench", 10, 10, 70), ("load", "oven", 15, 15, 30),
    ]  # fmt: skip


@pytest.mark.parametrize(("preheat_min", "loads"), [(40, 3), (40, 1), (36, 1)])
def test_the_bowl_comes_out_where_an_oven_heats_for_as_long_as_a_tray_proofs_and_with_several_loads(
    preheat_min: int, loads: int
) -> None:
    # Pressing takes 10 min of the 40 that the oven heats: 30 are left to wait.
    assert told(out_before_lit(method("express"), preheat_min, loads)) == [
        ("mix", "warm", 0, 0, 0), ("warm-out", "bench", 60, 90, 180),
        ("press", "bench", 0, 0, 15), ("load", "oven", 30, 30, 90),
    ]  # fmt: skip


def test_a_wait_that_leaves_time_to_heat_stays_as_the_method_has_it() -> None:
    assert told(out_before_lit(made(MIX_WARM, PRESS, LOAD), 25))[-1] == ("load", "oven", 20, 30, 90), "10 + 20 are 30"


def test_a_dough_that_leaves_the_warm_spot_for_the_fridge_needs_no_step_beside_it() -> None:
    assert out_before_lit(CHILLED, 60) == CHILLED


def test_a_tray_that_was_to_be_carried_into_the_warm_spot_stays_on_the_bench_when_there_are_several() -> None:
    carried = made(MethodStep("mix"), PRESS, MethodStep("warm", 5, 10, 15, 20), LOAD)
    # 10 + 5 + 20, 15 + 5 + 30, 20 + 5 + 90 min from pressing to loading, all of it on the bench.
    assert told(out_before_lit(carried, 30, loads=2)) == [
        ("mix", "bench", 0, 0, 0), ("press", "bench", 60, 90, 180), ("load", "oven", 35, 50, 115),
    ]  # fmt: skip


def test_a_method_without_a_warm_spot_stays_as_it_is() -> None:
    for one in shipped_methods():
        assert (out_before_lit(one, 60, 2) == one) is (one.key != "express")


OWN = [
    made(MIX_WARM, PRESS, LOAD),
    made(MIX_WARM, MethodStep("press", 10, 60, 90, 180, place="warm"), LOAD),
    made(MethodStep("mix"), WARM, MethodStep("round-up", wait_most_min=10), PRESS, LOAD),
    made(MethodStep("mix"), PRESS, WARM, LOAD),
    CHILLED,
]


@pytest.mark.parametrize(("own", "preheat_min", "loads"), list(product(OWN, (1, 26, 60, 120), (1, 2))))
def test_whatever_the_method_the_oven_is_empty_for_as_long_as_it_heats(
    own: Method, preheat_min: int, loads: int
) -> None:
    ready = out_before_lit(own, preheat_min, loads)
    assert problems_of(ready) == ()
    moves = [step for step in ready.steps if step.moves]
    last = max((i for i, step in enumerate(moves) if step.goes_to == "warm"), default=-1)
    assert last < 0 or loads == 1 or last < [step.kind for step in moves].index("press"), "a later tray in a hot oven"
    if last >= 0:
        out, later = moves[last + 1], moves[last + 2 :]
        hands = sum(step.hands for step in later[:-1])
        assert out.kind in ("warm-out", "chill")
        assert hands + sum(step.wait_least_min for step in later) >= preheat_min
