"""Salt on a coarse scale: how far off it is, and the brine, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from tests.strategies import between
from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Brine, WeighLine
from webapp.core.scale.brine import MOST_OFF, brine_for, off_percent
from webapp.core.scale.weighing import weigh_out
from webapp.words.plan.weights import Scales, note


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


def salt_of(dough_g: float, kitchen: Kitchen) -> WeighLine:
    """The salt of a plain dough: 2 % of its flour, of 172.5 % in all."""
    rows = (Ingredient("flour", "Flour", "flour", 100), Ingredient("water", "Water", "water", 70),
            Ingredient("salt", "Salt", "salt", 2.0))  # fmt: skip
    lines = weigh_out(Formula("plain", "Plain", "tray", rows, yeast_percent=0.5), dough_g, kitchen)
    return next(line for line in lines if line.kind == "salt")


def test_a_list_for_a_coarse_scale_says_how_far_off_its_salt_is_and_offers_a_brine() -> None:
    # By hand: 647 g of dough have 375 g of flour and 7.5 g of salt; a scale of 5 g shows 5 or 10, a third either way.
    line = salt_of(646.9, Kitchen(scale_step_g=5.0))
    assert abs(line.off_percent) == pytest.approx(100 / 3, abs=0.2)
    assert line.brine == Brine(50.0, 450.0, 75.0, 67.5)
    said = note(line, Scales())
    assert "33 % " in said
    assert "stir 50 g of salt into 450 g of water until it is clear; 75 g of it goes in" in said
    assert "68 g less water" in said


def test_less_salt_than_the_scale_shows_at_all_gets_a_brine_too() -> None:
    line = salt_of(300.0, Kitchen(scale_step_g=5.0))  # 3.5 g
    assert line.weighed_by == "too-little"
    assert line.brine is not None
    assert "Too little for the scale. Better as a brine" in note(line, Scales())


def test_an_ordinary_scale_or_a_fine_one_needs_no_brine() -> None:
    for kitchen in (Kitchen(), Kitchen(scale_step_g=5.0, micro_step_g=0.01)):
        line = salt_of(646.9, kitchen)
        assert (line.off_percent, line.brine) == (0.0, None)
        assert "brine" not in note(line, Scales())


def test_where_no_brine_fits_the_salt_is_still_said_to_be_off() -> None:
    line = replace(salt(7.5, 5.0), off_percent=-33.3)
    assert note(line, Scales()) == "33 % less salt than asked for: the scale is too coarse."
    assert note(replace(line, off_percent=20.0), Scales()).startswith("20 % more salt")
