"""How warm a dough really is: heat balances worked by hand (flour 1.8, water 4.18, fat 2.0 kJ/kgK), from the fridge."""

from __future__ import annotations

from dataclasses import replace

import pytest

from webapp.core.formula.cold_way import comes_cold
from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kinds import KEEPINGS, Keeping
from webapp.core.kitchen import Kitchen
from webapp.planning.mixing import dough, water

KITCHEN = Kitchen(fridge_c=5.0, mixing_rise_c=0.0)
FLOUR = Ingredient("flour", "Flour", "flour", 100.0)
MILK = Ingredient("milk", "Milk", "other", 60.0, 1.0, ("milk",), keeping="perishable")


def batch(*ingredients: Ingredient) -> dough.Batch:
    formula = Formula("own", "Own", "pan", ingredients, yeast_percent=0.0, wanted_dough_c=24.0)
    return dough.Batch(formula, KITCHEN, 10.0 * sum(one.percent for one in ingredients), 0.7)


@pytest.mark.parametrize("keeping", KEEPINGS)
def test_what_is_kept_in_the_fridge_comes_cold_unless_it_was_warmed(keeping: Keeping) -> None:
    assert comes_cold(replace(MILK, keeping=keeping)) is (keeping in ("fridge", "perishable"))
    assert not comes_cold(replace(MILK, keeping=keeping, percent=0.0))


def test_cold_milk_asks_for_warmer_water() -> None:
    """1000 g flour at 20, 600 g milk at 5, 100 g water: (1.8 x 4 + 0.6 x 4.18 x 19) / (0.1 x 4.18) above 24."""
    asked = 24.0 + (1.8 * 4.0 + 0.6 * 4.18 * 19.0) / (0.1 * 4.18)
    assert asked > 40.0, "more than water may be, so it stays at its limit and the dough comes out cooler"
    poured, comes = water.water_and_dough_c(batch(FLOUR, MILK, Ingredient("water", "Water", "water", 10.0)), 20.0)
    assert poured == 40.0
    by_hand = (1.8 * 20.0 + 0.6 * 4.18 * 5.0 + 0.1 * 4.18 * 40.0) / (1.8 + 0.6 * 4.18 + 0.1 * 4.18)
    assert comes == pytest.approx(by_hand)
    assert water.mixed_in(batch(FLOUR, MILK, Ingredient("water", "Water", "water", 10.0)), 20.0, False) == comes


def test_a_dough_on_milk_alone_is_as_warm_as_what_goes_into_it() -> None:
    """1000 g flour at 20, 600 g milk at 5: (1.8 x 20 + 0.6 x 4.18 x 5) / (1.8 + 0.6 x 4.18)."""
    _, comes = water.water_and_dough_c(batch(FLOUR, MILK), 20.0)
    assert comes == pytest.approx((1.8 * 20.0 + 0.6 * 4.18 * 5.0) / (1.8 + 0.6 * 4.18))
    warmed = replace(MILK, keeping="warmed")
    assert water.water_and_dough_c(batch(FLOUR, warmed), 20.0)[1] == pytest.approx(20.0)
