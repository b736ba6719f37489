"""The yeast is chosen with the ways in mind that the evening will have: less where the kitchen is not known."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.stats import norm

from tests.oracles.offer_rules import keeps_the_rules
from tests.wishes import a_dough, method, wish
from webapp.core.now.loss import PAST, YOUNG
from webapp.core.planner.cost import MOST_YOUNG, PAST_LOSS, WAYS_SHIFT, YOUNG_LOSS
from webapp.core.planner.offer import Offer
from webapp.core.planner.propose import propose
from webapp.core.planner.rising import less_yeast


def known_to(sd: float) -> Offer:
    """A same-day dough of a kitchen whose rate is known to so much (ln)."""
    spread = math.exp(1.2815515655 * sd)
    wanted = wish(
        "2026-11-25T20:30", methods=(method("bench-day"),), dough=a_dough(band_low=1 / spread, band_high=spread)
    )
    (offer,) = propose(wanted, False).offers
    keeps_the_rules(wanted, offer)
    return offer


def test_the_loss_that_the_yeast_is_chosen_by_is_the_one_that_the_ways_are_chosen_by() -> None:
    assert (PAST_LOSS, YOUNG_LOSS) == (PAST, YOUNG)


def test_the_yeast_aims_where_the_mean_loss_is_least() -> None:
    """SciPy's minimum of the mean of 1.3 (s - d) above and (d - s) below, s normal with sd 1: 0.164."""

    def mean_loss(d: float) -> float:
        above = norm.expect(lambda s: 1.3 * (s - d), lb=d)
        below = norm.expect(lambda s: d - s, ub=d)
        return float(above + below)

    least = minimize_scalar(mean_loss, bounds=(-2, 2), method="bounded").x
    assert pytest.approx(least, abs=1e-4) == WAYS_SHIFT
    assert pytest.approx(0.164, abs=5e-4) == WAYS_SHIFT


def test_worked_by_hand_a_kitchen_known_to_a_tenth_aims_a_sixtieth_later() -> None:
    """0.164 x 0.1 = 0.0164; of one known to 0.35 it would be 0.0575, but the likely dough loses no more than 0.045."""
    assert less_yeast(0.1, 1.0) == pytest.approx(0.0164, abs=1e-4)
    assert less_yeast(0.35, 1.0) == MOST_YOUNG == 0.045
    assert less_yeast(0.35, 1.05) == pytest.approx(0.0575, abs=1e-4)


@given(st.floats(0.0, 1.0), st.floats(0.3, 1.5))
def test_no_dough_is_made_younger_than_the_limit_nor_aimed_at_sooner(sd: float, youngest: float) -> None:
    later = less_yeast(sd, youngest)
    assert 0.0 <= later <= WAYS_SHIFT * sd
    assert math.log(youngest) - later >= min(math.log(youngest), -MOST_YOUNG) - 1e-12


def test_a_kitchen_that_is_not_known_gets_less_yeast_for_the_same_day() -> None:
    """Rate goes as the 0.6th power of the yeast: aimed at 0.045 later asks for exp(-0.045 / 0.6) = 0.928 of it."""
    known, unknown = known_to(0.0), known_to(0.35)
    assert [step.start for step in known.steps] == [step.start for step in unknown.steps]
    assert unknown.instant_percent / known.instant_percent == pytest.approx(0.928, abs=0.006)
    assert known.loaded[0] == pytest.approx(1.0, abs=0.01)
    assert 0.95 < unknown.loaded[0] < 0.965
    assert unknown.asides == ()
