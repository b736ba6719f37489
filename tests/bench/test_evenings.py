"""The bench of evenings still runs, and a dough that is what the plan took it for is loaded well."""

from __future__ import annotations

import math

import pytest

from tests.bench.bench_commands import kitchens, told_evenings
from tests.bench.bench_evenings import covered, evening, figures, lived, within_reach
from tests.bench.bench_frontier import TRIALS, row, tried
from tests.bench.bench_tray import AT_BEST_LN, plans, window_min
from tests.profiles import thorough


def test_an_evening_is_lived_to_its_end_in_every_way() -> None:
    rows = [lived(seed, 0, pick) for seed in (1, 2) for pick in ("first", "on-time", "willing")]
    assert all(math.isfinite(row.off_ln) and row.late_min <= 90 for row in rows)
    assert "within 20 %" in figures(rows)
    assert covered(1, 7200) in (True, False)


def test_the_simulated_dough_is_the_plans_own_where_nothing_is_off() -> None:
    """With speed 1, no other room and no other heat the model of the bench comes to what the plan's marks say."""
    one = evening(3, 0)
    one.truth.speed, one.truth.room_off_c, one.truth.slowness = 1.0, 0.0, 1.0
    steps = {step.step_id: step for step in one.plan.steps}
    stands = [(step.end, step.place, step.vessel) for step in one.plan.steps if step.chain and step.kind != "load"]
    mark = steps["press"].mark
    assert mark is not None
    at_press = one.truth.progress([row for row in stands if row[0] <= steps["press"].start], steps["press"].start)
    assert 0.8 < at_press / mark.best < 1.2


def test_who_knows_the_dough_to_the_minute_comes_nearer_to_its_best_than_who_reads_it_off_a_glass() -> None:
    rows = [(abs(within_reach(seed, 0).off_ln), abs(lived(seed, 0, "first").off_ln)) for seed in range(6)]
    assert sum(known for known, _ in rows) < sum(read for _, read in rows)
    assert all(known < read + 0.03 for known, read in rows), "the way taken is one of those that were tried"


def test_less_yeast_leaves_the_likely_dough_short_of_its_best_and_a_cold_dough_pressed_cold_does_not() -> None:
    """What a frontier is for: the figures of `bench_frontier.py` are of plans that differ as their rows say."""
    named = {trial.name: trial for trial in TRIALS}
    shipped, late, before = (
        [tried(named[name], seed) for seed in range(4)]
        for name in ("as shipped", "meant for 0.20 slower", "as it was made before")
    )
    for (_, home, loaded), (_, late_home, late_loaded), (_, home_before, _) in zip(shipped, late, before, strict=True):
        assert late_loaded < loaded - 0.05
        assert late_home < home
        assert abs(loaded - 1.0) <= 0.055
        assert home < home_before, "less of it rises while nobody looks"
    assert "within 5 %" in row(shipped)
    assert tried(named["as shipped"], 0) == shipped[0], "a trial leaves nothing behind"


def test_who_knows_the_command_alone_lives_the_same_evenings_as_who_asks_the_core() -> None:
    seeds = range(3 if thorough() else 1)
    for by_words, by_core in zip(told_evenings(seeds, 0), [lived(seed, 0, "first") for seed in seeds], strict=True):
        assert by_words.off_ln == pytest.approx(by_core.off_ln, abs=1e-9)
        assert by_words.late_min == by_core.late_min


def test_the_learning_that_the_command_answers_with_knows_how_sure_it_is() -> None:
    """An 80 % band holds 74 to 86 of a hundred next bakes: two standard errors of a count of 160 either way."""
    inside, off = kitchens(2, 160)
    assert 0.74 <= inside <= 0.86
    assert off < kitchens(0, 160)[1], "two bakes teach something"


@pytest.mark.parametrize(("room_c", "hours"), [(21.0, 5.0), (27.0, 4.0)])
def test_a_dough_of_a_day_on_the_bench_waits_in_its_tray_as_long_as_the_trade_says(room_c: float, hours: float) -> None:
    """Common practice: about five hours at 21 C, four at 27 C, when it was pressed at its best."""
    off, past = window_min(next(plan for plan in plans(room_c) if plan.trade.method == "bench-day"))
    assert abs(off) <= AT_BEST_LN
    assert past / 60 == pytest.approx(hours, rel=0.1)
