"""Toppings by area, against published pizzas of known size."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.errors import PlanError
from webapp.core.formula import toppings
from webapp.core.formula.toppings import Rim, ToppingItem, ToppingSet
from webapp.core.kinds import TOPPING_WHENS
from webapp.core.plan.tray import Pan, Topping
from webapp.core.scale.pans import wall_cm
from webapp.core.units import CM_PER_IN, G_PER_OZ
from webapp.data.toppings import topping_set, topping_sets

RIMMED = topping_set("tomato-cheese")
INCH2 = CM_PER_IN**2


def _grams(found: tuple[Topping, ...]) -> dict[str, float]:
    return {t.key: t.grams for t in found}


def test_a_twelve_inch_round_carries_the_published_ounces() -> None:
    # Lehmann, Pizza Today 2013: 12 in with 7 oz sauce and 6 oz cheese (113.1 in2)
    on = _grams(toppings.scale(RIMMED, 113.1 * INCH2, "round"))
    assert on["sauce"] / G_PER_OZ == pytest.approx(7.0, rel=0.03)
    assert on["cheese"] / G_PER_OZ == pytest.approx(6.0, rel=0.03)


def test_a_thin_twelve_inch_carries_the_lighter_published_sauce() -> None:
    # Lehmann, Pizza Today 2019: 5 oz sauce on 12 in
    assert _grams(toppings.scale(RIMMED, 113.1 * INCH2, "thin"))["sauce"] / G_PER_OZ == pytest.approx(5.0, rel=0.03)


def test_a_bakery_tray_carries_the_published_ounces() -> None:
    # Lehmann, Pizza Today 2013: 18 x 26 in tray with 29 oz sauce and 24.75 oz cheese
    on = _grams(toppings.scale(RIMMED, 18 * 26 * INCH2, "tray"))
    assert on["sauce"] / G_PER_OZ == pytest.approx(29.0, rel=0.03)
    assert on["cheese"] / G_PER_OZ == pytest.approx(24.75, rel=0.03)


def test_a_pan_pizza_carries_twelve_ounces_of_cheese_on_two_ten_inch_pans() -> None:
    # web recipe of known size: 12 oz cheese on two 10 in
    two_pans = 2 * math.pi * 25 * INCH2
    assert _grams(toppings.scale(RIMMED, two_pans, "pan"))["cheese"] / G_PER_OZ == pytest.approx(12.0, rel=0.04)


def test_the_sauce_says_how_much_of_it_is_salt() -> None:
    # 1 % of the tomatoes (common practice): 303 g of sauce = 300 g tomatoes + 3 g salt
    sauce = ToppingItem("sauce", "Tomatoes", 0.303, salt_share=0.01)
    scaled = toppings.scale(ToppingSet("s", "S", (sauce,)), 1000.0)[0]
    assert scaled.salt_g == pytest.approx(3.0)
    (much,) = toppings.scale(ToppingSet("s", "S", (sauce,)), 100_000.0)  # a hundredth of all 30.3 kg would be 303 g
    assert much.salt_g == pytest.approx(300.0)


def test_a_drained_weight_says_what_to_begin_with() -> None:
    # 240 g drained at 80 % = 300 g from the tub, by hand
    cheese = ToppingItem("c", "Cheese", 0.24, drained_share=0.8, note="torn")
    scaled = toppings.scale(ToppingSet("s", "S", (cheese,)), 1000.0)[0]
    assert (scaled.undrained_g, scaled.remark) == (pytest.approx(300.0), "torn")
    assert toppings.drained([scaled]) == ("Cheese",)


def test_a_rim_follows_the_wall_of_the_pan() -> None:
    pan = Pan("p", "Pan", "rectangle", 900.0, 2, 36.0, 25.0)
    wall = wall_cm([pan])
    assert wall == 244.0  # 2 x 2 x (36 + 25)
    rim = toppings.scale(RIMMED, 1800.0, "tray", wall)[-1]
    assert rim.key == "rim"
    assert RIMMED.rim
    assert rim.grams == pytest.approx(244 * RIMMED.rim.g_cm)
    assert rim.allergens == ("milk",)


@pytest.mark.parametrize("style", ["thin", "round", "focaccia"])
def test_a_rim_is_refused_where_there_is_no_wall_to_hold_it(style: str) -> None:
    with pytest.raises(PlanError, match="toppings: rim-wall"):
        toppings.scale(RIMMED, 1000.0, style, 100.0)


def test_a_rim_is_refused_where_the_set_has_no_cheese_for_it() -> None:
    with pytest.raises(PlanError, match="toppings: no-rim-cheese name "):
        toppings.scale(topping_set("herb-oil"), 1000.0, "pan", 100.0)


def test_the_load_on_the_dough_leaves_out_the_rim_and_what_goes_on_afterwards() -> None:
    items = (ToppingItem("a", "A", 0.2), ToppingItem("b", "B", 0.1, when="after"))
    chosen = ToppingSet("s", "S", items, Rim("Rim", 1.0, (), ""))
    assert toppings.load_g_cm2(toppings.scale(chosen, 1000.0, "pan", 120.0), 1000.0) == pytest.approx(0.2)


def test_things_leave_the_fridge_together_and_the_earliest_is_told_first() -> None:
    items = (
        ToppingItem("a", "Ham", 0.1, fridge_out_s=900),
        ToppingItem("b", "Cheese", 0.1, fridge_out_s=1800),
        ToppingItem("c", "Curd", 0.1, fridge_out_s=1800),
        ToppingItem("d", "Basil", 0.1),
    )
    outs = toppings.fridge_outs(toppings.scale(ToppingSet("s", "S", items), 100.0))
    assert [(o.before_load_s, o.names) for o in outs] == [(1800, ("Cheese", "Curd")), (900, ("Ham",))]


@given(
    st.sampled_from(list(topping_sets())),
    st.sampled_from(["thin", "round", "pan", "tray", "focaccia"]),
    st.floats(100, 5000),
    st.floats(0.2, 5),
)
def test_twice_the_tray_takes_twice_the_topping(key: str, style: str, area: float, times: float) -> None:
    one, more = (_grams(toppings.scale(topping_set(key), a, style)) for a in (area, area * times))
    assert more == pytest.approx({k: g * times for k, g in one.items()})


def test_no_shipped_topping_stays_out_of_the_fridge_longer_than_the_rule_allows() -> None:
    # USDA FSIS: 2 h at most
    for chosen in topping_sets().values():
        for item in chosen.items:
            assert item.fridge_out_s <= 3600
            assert item.when in TOPPING_WHENS


def test_only_what_loses_water_is_set_to_drain() -> None:
    dry = ToppingItem("d", "Dry cheese", 0.1)
    wet = ToppingItem("w", "Wet cheese", 0.1, drained_share=0.9)
    assert toppings.drained(toppings.scale(ToppingSet("s", "S", (dry, wet)), 1000.0)) == ("Wet cheese",)
    assert toppings.drained(toppings.scale(ToppingSet("s", "S", (dry,)), 1000.0)) == ()


def test_on_no_area_there_is_no_load() -> None:
    assert toppings.load_g_cm2([Topping("a", "A", 100.0, "before", False, 0)], 0.0) == 0.0
