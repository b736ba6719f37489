"""Salt on a coarse scale: how far off it is, and the brine, worked by hand."""

from __future__ import annotations

import pytest
from hypothesis import given

from tests.strategies import between
from webapp.core.plan import WeighLine
from webapp.core.scale.brine import MOST_OFF, Brine, brine_for, off_percent


def salt(grams: float, weigh_g: float, kind: str = "salt") -> WeighLine:
    return WeighLine("salt", "Salt", kind, "dough", 2.0, grams, weigh_g)  # type: ignore[arg-type]


def test_salt_a_third_off_is_said_and_a_tenth_is_not() -> None:
    # By hand: 5 g in place of 7.5 is a third too little; 8 in place of 7.5 is 6.7 % too much.
    assert off_percent(salt(7.5, 5.0)) == pytest.approx(-33.33, abs=0.01)
    assert off_percent(salt(3.5, 5.0)) == pytest.approx(42.86, abs=0.01)
    assert off_percent(salt(7.5, 8.0)) == 0.0
    assert off_percent(salt(7.5, 5.0, "sugar")) == 0.0
    assert off_percent(salt(0.0, 5.0)) == 0.0


def test_a_brine_on_a_scale_of_five_grams() -> None:
    # By hand: ten steps are 50 g of salt in 450 g of water, a tenth of it salt; 7.5 g are 75 g of it, 67.5 g water.
    assert brine_for(7.5, 5.0, 250.0) == Brine(50.0, 450.0, 75.0, 67.5)


def test_a_brine_that_would_bring_more_water_than_the_dough_has_is_none() -> None:
    assert brine_for(7.5, 5.0, 80.0) is None  # three quarters of 80 g are less than 67.5 g


def test_a_scale_too_coarse_for_a_brine_too_gets_none() -> None:
    assert brine_for(1.2, 25.0, 250.0) is None  # 12 g of brine on a scale of 25 g


@given(between(2, 40), between(0.5, 10))
def test_a_brine_is_weighed_in_steps_and_gives_the_salt_to_a_tenth(salt_g: float, step_g: float) -> None:
    found = brine_for(salt_g, step_g, 40.0 * salt_g)
    if found is None:
        return
    for grams in (found.salt_g, found.water_g, found.take_g):
        assert grams / step_g == pytest.approx(round(grams / step_g), abs=1e-6)
    given_g = found.take_g - found.take_water_g
    assert given_g == pytest.approx(found.take_g * found.salt_g / (found.salt_g + found.water_g))
    assert given_g == pytest.approx(salt_g, rel=MOST_OFF + 1e-9)
    assert found.salt_g / found.water_g < 0.36  # it dissolves
