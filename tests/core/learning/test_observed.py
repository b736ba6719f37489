"""What one mark says, by the table of shares, worked by hand."""

from __future__ import annotations

import math

import pytest

from webapp.core.errors import PlanError
from webapp.core.learning.observed import (
    GLASS_SD,
    POKE_SHARES,
    PRESS_SHARES,
    VERDICT_SHARES,
    Observation,
    glass,
    glass_sd,
    one_each,
    share_of_best,
    verdict,
)

NOW = 1_795_564_800


def test_a_glass_at_twice_its_volume_means_progress_one() -> None:
    # E = 1, and E ** 0.75 = 1; the model had 0.8: ln(1 / 0.8) = 0.2231. Sd: hypot(0.12, 0.75 x 0.03 / 1) = 0.12209.
    mark = glass(NOW, 2.0, 0.8, "a")
    assert (mark.ln_ratio, mark.read_sd) == pytest.approx((0.22314, 0.12209), abs=1e-5)
    assert (mark.at, mark.bake, mark.side) == (NOW, "a", 0)


def test_a_small_rise_is_read_less_surely_than_a_large_one() -> None:
    # By finite differences of progress = E ** 0.75: a line read 3 % of the first height wrong, a height off by 8 %.
    off = math.log(0.23**0.75 / 0.2**0.75)
    assert math.sqrt(glass_sd(1.2) ** 2 - (1.5 * GLASS_SD) ** 2) == pytest.approx(off, rel=0.1)
    line, height = (math.log((1.5 + by) ** 0.75 / 1.5**0.75) for by in (0.03, 0.08 * 2.5))
    assert glass_sd(2.5) == pytest.approx(math.hypot(line, height), rel=0.1)
    assert glass_sd(2.5) < glass_sd(2.0) < glass_sd(1.2)


def test_a_sample_weighed_roughly_is_read_less_surely() -> None:
    assert glass(NOW, 2.0, 1.0, made_sd=0.05).read_sd == pytest.approx(math.sqrt(0.12209**2 + 0.0025), abs=1e-5)


@pytest.mark.parametrize("times", [1.0, 0.5, 20.0, math.nan])
def test_a_glass_that_has_not_risen_says_nothing(times: float) -> None:
    with pytest.raises(PlanError, match="times: glass-says-nothing"):
        glass(NOW, times, 0.5)


@pytest.mark.parametrize(("best", "unit"), [(0.0, 1.0), (1.0, 0.0), (math.nan, 1.0), (1.0, math.inf)])
def test_a_dough_that_has_not_begun_says_nothing(best: float, unit: float) -> None:
    with pytest.raises(PlanError, match="unit_progress: not-risen"):
        share_of_best(NOW, 1.0, best, unit, 0.3)


def test_the_shares_are_those_of_the_design_in_order() -> None:
    assert list(PRESS_SHARES.values())[:3] == pytest.approx([1 / 3, 0.75, 1.0])
    assert list(POKE_SHARES.values()) == pytest.approx([0.80, 1.00, 1.25])
    assert list(VERDICT_SHARES.values()) == pytest.approx([0.75, 1.00, 1.35])
    for shares in (PRESS_SHARES, POKE_SHARES, VERDICT_SHARES):
        assert list(shares.values()) == sorted(shares.values())


@pytest.mark.parametrize(("said", "ln", "side"), [("young", -0.28768, -1), ("right", 0.0, 0), ("past", 0.30010, 1)])
def test_a_verdict_is_a_share_of_best_with_a_side(said: str, ln: float, side: int) -> None:
    # ln 0.75, ln 1, ln 1.35 (table of logarithms), sd 0.30
    seen = verdict(NOW, said, 1.2, 1.2, "b")
    assert (seen.ln_ratio, seen.read_sd) == pytest.approx((ln, 0.30), abs=1e-5)
    assert (seen.side, seen.bake) == (side, "b")


def test_marks_of_one_bake_are_their_mean_by_precision_at_the_last_of_them() -> None:
    # By hand: precisions 1/0.04 = 25 and 1/0.01 = 100; mean (25 x 0.1 + 100 x 0.2) / 125 = 0.18; sd 1 / sqrt(125).
    marks = [Observation(NOW, 0.1, 0.2, "a"), Observation(NOW + 60, 0.2, 0.1, "a"), Observation(NOW, 0.5, 0.2, "b")]
    first, second = one_each(marks)
    assert (first.at, first.bake) == (NOW + 60, "a")
    assert (first.ln_ratio, first.read_sd) == pytest.approx((0.18, 0.0894427), abs=1e-6)
    assert second == Observation(NOW, 0.5, pytest.approx(0.2), "b")


def test_marks_without_a_bake_stand_alone() -> None:
    assert len(one_each([Observation(NOW, 0.1), Observation(NOW, 0.1)])) == 2


def test_what_is_only_at_least_or_at_most_has_a_side_and_is_no_news_to_what_is_known_to_be_further() -> None:
    """By hand: ln 1.35 and ln 0.75 with 0.30 each; beside a mark at 0 with 0.1 "past" pulls by its part of the
    precision, (0.30010 / 0.09) / (1 / 0.09 + 1 / 0.01) = 0.03001, and is no news beside one that is past it already."""
    past, young = verdict(NOW, "past", 1.0, 1.0, "a"), verdict(NOW, "young", 1.0, 1.0, "a")
    assert [one_each(marks)[0].side for marks in ([past], [past, past], [past, young], [young])] == [1, 1, 0, -1]
    near, far = (Observation(NOW, ln, 0.1, "a") for ln in (0.0, 0.4))
    (both,) = one_each([near, past])
    assert (both.ln_ratio, both.side) == (pytest.approx(0.03001, abs=1e-5), 1)
    assert one_each([far, past]) == one_each([far])
    mark = glass(NOW, 2.0, 1.0, "a")
    assert one_each([mark])[0].side == 0
