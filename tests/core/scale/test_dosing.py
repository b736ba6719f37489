"""Little yeast, weighed or spooned with what the kitchen owns, its error stated and true."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import between, kitchens
from webapp.core.kinds import YEAST_KINDS
from webapp.core.kitchen import Kitchen
from webapp.core.scale.dosing import dosing, to_step
from webapp.core.scale.measures import Measure, in_spoons
from webapp.data import doughs

SPOONS = doughs.measures()


@pytest.mark.parametrize(
    ("yeast_g", "kitchen", "kind"),
    [
        (12.0, Kitchen(), "scale"),
        (0.6, Kitchen(micro_step_g=0.01), "micro"),
        (0.6, Kitchen(has_spoons=False), "yeast-water"),
        (0.3, Kitchen(micro_step_g=0.1), "yeast-water"),  # a tenth of a gram is too coarse for three
        (0.8, Kitchen(scale_step_g=5.0), "spoon"),
    ],
)
def test_the_way_is_chosen_by_what_the_kitchen_owns(yeast_g: float, kitchen: Kitchen, kind: str) -> None:
    assert dosing(yeast_g, kitchen, measures=SPOONS).kind == kind


def test_a_quarter_teaspoon_is_what_the_books_say() -> None:
    # Forkish: 0.8 g is a scant 1/4 tsp; Lahey: 1 g is 1/4 tsp
    found = dosing(0.8, Kitchen(scale_step_g=5.0), measures=SPOONS)
    assert found.teaspoons == 0.25


def test_without_spoons_or_their_table_none_are_offered() -> None:
    assert dosing(0.8, Kitchen(scale_step_g=5.0, has_spoons=False), measures=SPOONS).kind == "none"
    assert dosing(0.8, Kitchen(scale_step_g=5.0)).kind == "none"
    assert dosing(0.8, Kitchen(scale_step_g=5.0), "fresh", measures=SPOONS).kind == "none"  # nobody spoons fresh yeast


@given(between(0.05, 12), kitchens(), st.sampled_from(YEAST_KINDS), between(100, 3000))
def test_the_dose_is_off_by_no_more_than_is_said(yeast_g: float, kitchen: Kitchen, kind: str, water_g: float) -> None:
    found = dosing(yeast_g, kitchen, kind, water_g, SPOONS)
    assert abs(found.yeast_g / yeast_g - 1) * 100 <= found.error_percent + 1e-6
    assert found.yeast_g > 0


def test_what_nothing_here_can_weigh_is_said_not_multiplied() -> None:
    found = dosing(0.5, Kitchen(scale_step_g=5.0, has_spoons=False), measures=SPOONS)
    assert (found.kind, found.yeast_g) == ("none", 0.5)  # never "weigh 5 g" for half a gram


@given(between(0.05, 4), st.sampled_from([0.5, 1.0, 2.0]), between(150, 2000))
def test_a_yeast_water_gives_the_yeast_it_says(yeast_g: float, step: float, water_g: float) -> None:
    found = dosing(yeast_g, Kitchen(scale_step_g=step, has_spoons=False), water_g=water_g)
    if found.kind == "yeast-water":
        share = found.take_g / (found.stock_yeast_g + found.stock_water_g)
        assert found.yeast_g == pytest.approx(share * found.stock_yeast_g)
        assert found.take_water_g == pytest.approx(share * found.stock_water_g)
        assert found.take_water_g <= 0.5 * water_g + step
        assert found.take_g / step == pytest.approx(round(found.take_g / step))


def test_the_error_of_a_yeast_water_is_that_of_its_three_weighings() -> None:
    # by hand, scale of 1 g: 0.6 g wanted; 5 g in 150 g is 1 in 31, 18.6 g is little: 200 g of water, 24.6 g, poured 25
    found = dosing(0.6, Kitchen(has_spoons=False))
    assert (found.stock_yeast_g, found.stock_water_g, found.take_g) == (5, 200, 25)
    assert found.yeast_g == pytest.approx(25 * 5 / 205)
    assert found.error_percent == pytest.approx(100 * (0.5 / 5 + 0.5 / 200 + 0.5 / 25))


def test_a_fine_scale_weighs_the_stock_where_there_is_one() -> None:
    # 0.3 g on a scale of 0.1 g would be off by 17 %; a stock of 1 g on it only by 5
    found = dosing(0.3, Kitchen(micro_step_g=0.1, has_spoons=False))
    assert found.stock_yeast_g == 1
    assert found.error_percent < 10


def test_a_stock_holds_at_least_what_is_wanted() -> None:
    found = dosing(3.0, Kitchen(scale_step_g=0.5, has_spoons=False))
    assert found.kind in ("scale", "yeast-water")
    assert found.kind == "scale" or found.stock_yeast_g >= 3.0
    assert dosing(1.6, Kitchen(scale_step_g=0.2, has_spoons=False)).error_percent <= 10


@given(between(0.05, 4), st.sampled_from([1.0, 2.0]), between(0, 1), between(0, 1), between(0, 1))
def test_the_worst_readings_of_the_scale_stay_within_the_stated_error(
    yeast_g: float, step: float, a: float, b: float, c: float
) -> None:
    found = dosing(yeast_g, Kitchen(scale_step_g=step, has_spoons=False), water_g=1000)
    if found.kind == "yeast-water":
        off = [(x - 0.5) * step for x in (a, b, c)]  # a scale shows 5 g for anything from 4.5 to 5.5
        stock, water, take = found.stock_yeast_g + off[0], found.stock_water_g + off[1], found.take_g + off[2]
        given_g = take * stock / (stock + water)
        assert abs(given_g / yeast_g - 1) * 100 <= 1.25 * found.error_percent  # errors multiply a little


def test_more_yeast_than_a_stock_holds_goes_on_the_scale() -> None:
    assert dosing(30.0, Kitchen(scale_step_g=5.0, has_spoons=False)).kind == "scale"
    assert dosing(0.9, Kitchen(scale_step_g=1.0, has_spoons=False), water_g=1.0).kind == "scale"  # no water to use


OUNCE = 28.349523125  # g, by definition (international yard and pound agreement of 1959)


@pytest.mark.parametrize(("grams", "step", "shown"), [(0.2, 1.0, 1.0), (1.5, 1.0, 2.0), (0.576, 0.01, 0.58)])
def test_a_scale_shows_the_nearest_step_and_never_nothing(grams: float, step: float, shown: float) -> None:
    assert to_step(grams, step) == pytest.approx(shown)


def test_salt_in_spoons_is_the_bakers_weights_table() -> None:
    # Reinhart, The Bread Baker's Apprentice: 28 g of table salt = 4 tsp at 7 g
    spoons = in_spoons(28.0, Measure("salt", "Table salt", 7.0, 0.0))
    assert (spoons.teaspoons, spoons.grams) == (Fraction(4), 28.0)


@given(between(0.2, 60))
def test_spoons_are_never_further_off_than_half_a_spoon(grams: float) -> None:
    spoons = in_spoons(grams, Measure("x", "X", 3.0, 0.0))
    assert abs(spoons.grams - grams) <= max(3.0 / 16, 3.0 / 4) + 1e-9
    assert math.isclose(float(spoons.teaspoons) * 3.0, spoons.grams)
