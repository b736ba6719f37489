"""What a kitchen teaches: against posteriors worked by hand, sums on a grid, SciPy, and simulated kitchens."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats  # type: ignore[import-untyped]

from tests.bench import bench_learning as bench
from tests.strategies import between
from webapp.core.learning import vigour
from webapp.core.learning.observed import GLASS_SD, Observation
from webapp.core.learning.vigour import (
    DRIFT_SD,
    HALF_LIFE_DAYS,
    KITCHEN_SD,
    PRIOR,
    SCATTER_SD,
    band_percent,
    posterior,
)

NOW = 1_795_564_800
DAY = 86400


def seen(*ratios: float, sd: float = GLASS_SD, days_ago: float = 0.0) -> list[Observation]:
    """One mark in each of so many bakes."""
    return [Observation(NOW - round(days_ago * DAY), r, sd, f"bake-{i}") for i, r in enumerate(ratios)]


@pytest.fixture
def unchanging(monkeypatch: pytest.MonkeyPatch) -> None:
    """A kitchen that surely never changed: what is left is one level with t errors."""
    monkeypatch.setattr(vigour, "CHANGE", 1e-12)


def test_a_kitchen_that_has_logged_nothing_keeps_the_prior() -> None:
    # By hand: levels apart by 0.33, bakes by 0.16: sqrt(0.1089 + 0.0256) = 0.36674.
    assert posterior([], NOW) == pytest.approx((0.0, 0.36674, 0.16), abs=1e-5)


def test_one_bake_is_the_mean_by_precision_worked_by_hand() -> None:
    """By hand, for ln ratio 0: the level stays 0, its variance v and the bakes' variance s are worked out in turn.

    1 / v = 1 / 0.1089 + (3/2) / (s + 0.0144), the weight 3/2 being that of a t of 2 degrees at its centre. Of the
    bake's own day k^2 v + 0.0144 k is to be expected, k = s / (s + 0.0144) (the conditional variance of a normal sum);
    s = (4 x 0.0256 + that) / 5. From s = 0.0256: v 0.02142, s 0.02408; v 0.02076, s 0.02391; v 0.02069, s 0.02389;
    v 0.02068. Sd of the next bake: sqrt(0.02068 + 0.02389) = 0.2111.
    """
    mean, sd, scatter = posterior(seen(0.0), NOW)
    assert mean == 0.0
    assert scatter**2 == pytest.approx(0.02389, abs=1e-5)
    assert sd == pytest.approx(0.2111, abs=1e-4)


def test_a_reading_too_vague_to_tell_one_day_from_another_leaves_the_scatter_as_it_was() -> None:
    vague = posterior(seen(*[0.0] * 8, sd=5.0), NOW)
    assert vague.scatter == pytest.approx(SCATTER_SD, rel=1e-2)


@pytest.mark.usefixtures("unchanging")
@pytest.mark.parametrize("ratios", [(0.3,), (0.1, 0.15), (0.0, 0.1, 1.1), (-0.4, 0.2, 0.3, 0.25, -0.9)])
def test_the_level_is_where_scipy_finds_the_top_of_the_t_likelihood(ratios: tuple[float, ...]) -> None:
    """Oracle: `scipy.optimize` on normal prior x Student t likelihoods (scipy.stats), the same scatter given."""
    mean, _, scatter = posterior(seen(*ratios), NOW)
    scale = math.hypot(scatter, GLASS_SD)

    def unlikely(level: float) -> float:
        odd = stats.t.logpdf([(r - level) / scale for r in ratios], vigour.T_DEGREES).sum()
        return float(-odd - stats.norm.logpdf(level, 0.0, KITCHEN_SD))

    top = optimize.minimize_scalar(unlikely, bounds=(-0.6, 0.6), method="bounded", options={"xatol": 1e-9})
    assert mean == pytest.approx(top.x, abs=2e-3)


@pytest.mark.parametrize("ratios", [(0.1,), (0.1, 0.2, 0.1), (0.0, -0.05, 0.4, 0.45, 0.5), (0.05, 0.0, 1.1)])
def test_the_mean_over_all_stories_is_near_bayes_rule_added_up_on_a_grid(ratios: tuple[float, ...]) -> None:
    """Oracle: prior x t likelihoods (scipy.stats) of each story, changed before bake k or never, on a fine grid."""
    mean, sd, scatter = posterior(seen(*ratios), NOW)
    scale = math.hypot(scatter, GLASS_SD)
    grid = np.arange(-2.5, 2.5, 0.01)
    odds = np.array([stats.t.pdf((r - grid) / scale, vigour.T_DEGREES) / scale for r in ratios])
    begin = stats.norm.pdf(grid, 0.0, KITCHEN_SD)
    jump = stats.norm.pdf(grid[:, None], grid[None, :], vigour.CHANGE_SD) * 0.01
    total = (1 - vigour.CHANGE) * begin * odds.prod(axis=0)
    for since in range(1, len(ratios)):
        total += vigour.CHANGE * (jump @ (begin * odds[:since].prod(axis=0))) * odds[since:].prod(axis=0)
    exact = (grid * total).sum() / total.sum()
    spread = ((grid - exact) ** 2 * total).sum() / total.sum()
    assert mean == pytest.approx(exact, abs=0.05)
    assert sd == pytest.approx(math.sqrt(spread + scatter**2), rel=0.2)


def test_two_logged_bakes_shrink_the_band_by_half() -> None:
    # From +-60 % before any (exp(1.2816 x 0.3667) = 1.600) to what a day's own scatter of 0.16 leaves.
    assert band_percent(PRIOR[1]) == pytest.approx(60.0, abs=0.2)
    assert 20 <= band_percent(posterior(seen(0.1, 0.15), NOW).sd) <= 30


@given(st.lists(between(-0.9, 0.9), min_size=1, max_size=6))
def test_what_is_learned_lies_between_the_prior_and_what_was_seen(ratios: list[float]) -> None:
    mean, _, _ = posterior(seen(*ratios), NOW)
    assert min(0.0, *ratios) - 1e-12 <= mean <= max(0.0, *ratios) + 1e-12


@given(st.lists(between(-0.9, 0.9), min_size=1, max_size=6), st.randoms(use_true_random=False))
def test_the_order_in_which_bakes_are_told_changes_nothing(ratios: list[float], rng: object) -> None:
    bakes = [Observation(NOW - i * DAY, r, GLASS_SD, f"{i}") for i, r in enumerate(ratios)]
    mixed = bakes.copy()
    rng.shuffle(mixed)  # type: ignore[attr-defined]
    assert posterior(mixed, NOW) == posterior(bakes, NOW)


@given(between(-0.5, 0.5))
def test_mirrored_bakes_give_the_mirrored_level(ratio: float) -> None:
    one, other = posterior(seen(ratio, 0.1), NOW), posterior(seen(-ratio, -0.1), NOW)
    assert one.mean == pytest.approx(-other.mean, abs=1e-12)
    assert one.sd == pytest.approx(other.sd)


@pytest.mark.usefixtures("unchanging")
def test_a_bake_counts_half_after_a_half_life_and_less_for_the_drift() -> None:
    """By hand: weight w of a bake of today becomes 1 / (2 / w + 0.05^2 x 3 months) after ninety days."""
    days = HALF_LIFE_DAYS
    fresh, old = seen(0.2)[0], seen(0.2, days_ago=days)[0]
    _, weight = vigour._pull(fresh, 0.1, SCATTER_SD**2, NOW)
    _, later = vigour._pull(old, 0.1, SCATTER_SD**2, NOW)
    assert 1 / later == pytest.approx(2 / weight + DRIFT_SD**2 * 3)
    assert 0 < posterior([old], NOW).mean < posterior([fresh], NOW).mean
    assert posterior([fresh], NOW).sd < posterior([old], NOW).sd < PRIOR[1]


def test_after_years_the_kitchen_is_unknown_again() -> None:
    mean, sd, _ = posterior(seen(0.6, days_ago=3000), NOW)
    assert mean == pytest.approx(0, abs=1e-4)
    assert sd == pytest.approx(PRIOR[1], abs=1e-3)


def test_a_phone_whose_clock_runs_ahead_counts_as_fresh() -> None:
    assert posterior([Observation(NOW + 5 * DAY, 0.3)], NOW) == posterior([Observation(NOW, 0.3)], NOW)


def test_ten_marks_of_one_bake_teach_less_than_one_mark_each_of_ten_bakes() -> None:
    one_bake = posterior([Observation(NOW, 0.3, GLASS_SD, "a")] * 10, NOW).sd
    ten_bakes = posterior([Observation(NOW, 0.3, GLASS_SD, f"{i}") for i in range(10)], NOW).sd
    assert ten_bakes < one_bake < posterior([Observation(NOW, 0.3, GLASS_SD, "a")], NOW).sd


def test_what_cannot_be_dough_is_not_learned_from() -> None:
    assert posterior(seen(3.0, -2.9), NOW) == posterior([], NOW)


def test_a_kitchen_whose_bakes_are_alike_gets_a_narrower_band_than_one_whose_bakes_are_not() -> None:
    """By hand, as above but for eight bakes without residual, s = (4 x 0.0256 + 8 x (k^2 v + 0.0144 k)) / 12: from
    0.0256 in three rounds to 0.01556, 0.01396, 0.01363, whose root is 0.117."""
    alike, apart = posterior(seen(*[0.2] * 8), NOW), posterior(seen(*[0.0, 0.4] * 4), NOW)
    assert alike.scatter == pytest.approx(0.117, abs=2e-3)
    assert SCATTER_SD < apart.scatter < 0.25
    assert alike.sd < apart.sd


def test_no_residual_counts_for_more_than_two_and_a_half_of_its_sd() -> None:
    two, four = posterior(seen(0.0, 0.0, 0.0, 0.0, 1.2), NOW), posterior(seen(0.0, 0.0, 0.0, 0.0, 2.4), NOW)
    assert four.scatter == pytest.approx(two.scatter, rel=0.05)


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("others", [(), (0.1, -0.1), (0.5, 0.45)])
@pytest.mark.parametrize("by", [-1.0, -0.3, 0.0, 0.3])
def test_a_dough_said_to_be_past_its_best_never_makes_the_kitchen_slower(
    side: int, others: tuple[float, ...], by: float
) -> None:
    """Past (1): quicker than without it, whatever its figure; young (-1): slower. Far off the other way: no change."""
    plain = posterior(seen(*others), NOW).mean
    said = Observation(NOW, plain + side * by, 0.3, "said", side)
    moved = side * (posterior([*seen(*others), said], NOW).mean - plain)
    assert moved > -1e-3 if by == -1.0 else moved > 0.005


def test_a_bake_far_beyond_its_side_pulls_as_if_it_had_none() -> None:
    plain, sided = (posterior([Observation(NOW, 0.8, 0.1, "a", side)], NOW).mean for side in (0, 1))
    assert sided == pytest.approx(plain, rel=0.05)


@pytest.mark.many_cases
def test_in_simulated_kitchens_the_80_percent_band_holds_about_80_percent() -> None:
    for bakes in bench.BAKES:
        # 250 kitchens: the binomial sd at 0.8 is 0.025, two of them around the aim of 0.75 to 0.85
        assert 0.70 <= bench.plain(bakes, 0.15, 250).inside <= 0.90
    assert bench.plain(2, 0.08, 250).inside <= 0.92 + 0.034


@pytest.mark.many_cases
def test_one_bake_three_times_too_quick_does_not_spoil_the_next() -> None:
    assert bench.one_odd(0, after=1, kitchens=250).median_off <= 0.22
    assert bench.one_odd(2, kitchens=250).median_off <= 0.22
    assert bench.one_odd(4, kitchens=250).median_off <= 0.22 * 0.8


@pytest.mark.many_cases
def test_four_bakes_after_the_kitchen_became_quicker_it_is_followed() -> None:
    assert bench.changed(4, kitchens=250).median_off <= 0.18
    assert bench.changed(8, kitchens=250).median_off <= 0.18 * 1.1


def test_a_dough_said_to_be_past_where_nobody_could_have_expected_less_changes_nothing() -> None:
    slow = Observation(NOW, -2.0, 0.05, "a", 1)
    assert posterior([slow], NOW).mean == 0.0
