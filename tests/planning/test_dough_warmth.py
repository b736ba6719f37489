"""How warm a dough really is: heat balances worked by hand (flour 1.8, water 4.18, fat 2.0 kJ/kgK), from the fridge."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from types import SimpleNamespace

import pytest

from tests.planning.test_full_plan import KITCHEN as PLAN_KITCHEN
from tests.planning.test_full_plan import MORNING, SHELF, wish
from webapp.core.formula.cold_way import comes_cold
from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kinds import KEEPINGS, Keeping
from webapp.core.kitchen import Kitchen, PartOfDay
from webapp.planning.full_plan import NothingFits, plans_for
from webapp.planning.mixing import dough, water
from webapp.planning.question import warmed

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


@pytest.mark.parametrize(
    ("tap_c", "room_c", "poured_c"),
    [
        # 1000 g flour, 700 g water: (1.8 x room + 0.7 x 4.18 x water) / (1.8 + 0.7 x 4.18)
        (15.0, 22.0, 15.0),  # comes to 17.7: no cooler than 18, so 15.5 is poured
        (17.0, 22.0, 17.0),  # as it comes
        (27.0, 30.0, 20.3),  # too warm for the formula itself: as cold as that wants it, with ice
    ],
)
def test_a_cool_dough_takes_the_water_of_the_tap(tap_c: float, room_c: float, poured_c: float) -> None:
    one = batch(FLOUR, Ingredient("water", "Water", "water", 70.0))
    cool = replace(one, kitchen=replace(KITCHEN, tap_c=tap_c)).made(80, True)
    heat = 1.8 + 0.7 * 4.18
    least = (18.0 * heat - 1.8 * room_c) / (0.7 * 4.18)
    wanted = (24.0 * heat - 1.8 * room_c) / (0.7 * 4.18)
    poured, comes = water.water_and_dough_c(cool, room_c)
    assert poured == pytest.approx(min(wanted, max(tap_c, least)))
    assert poured == pytest.approx(max(poured_c, least), abs=0.05)
    assert comes == pytest.approx((1.8 * room_c + 0.7 * 4.18 * poured) / heat)
    assert cool.asked_c(comes) == pytest.approx(comes), "it is wanted as cool as it comes"
    assert water.ice_g(poured, cool) == 0.0 or tap_c > poured


def test_a_dough_on_milk_alone_is_as_warm_as_what_goes_into_it() -> None:
    """1000 g flour at 20, 600 g milk at 5: (1.8 x 20 + 0.6 x 4.18 x 5) / (1.8 + 0.6 x 4.18)."""
    _, comes = water.water_and_dough_c(batch(FLOUR, MILK), 20.0)
    assert comes == pytest.approx((1.8 * 20.0 + 0.6 * 4.18 * 5.0) / (1.8 + 0.6 * 4.18))
    warmed = replace(MILK, keeping="warmed")
    assert water.water_and_dough_c(batch(FLOUR, warmed), 20.0)[1] == pytest.approx(20.0)


def test_a_method_that_mixes_cool_and_presses_sooner_is_planned_so_and_loaded_where_any_dough_is() -> None:
    """The cold dough of the house beside the same pressed at four fifths of its rise, mixed with the tap's water."""
    cold = SHELF.methods["cold"]
    both = (replace(cold, pressed_percent=100, mixed_cool=False), replace(cold, pressed_percent=80, mixed_cool=True))
    shelves = [SimpleNamespace(**(vars(SHELF) | {"methods": {"cold": one}})) for one in both]
    asked = wish(method_key="cold", supper_local="2026-11-26T19:30")
    before, now = (plans_for(asked, PLAN_KITCHEN, MORNING, "b" * 22, shelf)[0] for shelf in shelves)
    (press, load), (sooner_press, as_ever) = (
        [next(s.mark for s in plan.steps if s.kind == kind) for kind in ("press", "load")] for plan in (before, now)
    )
    assert press
    assert load
    assert sooner_press
    assert as_ever
    assert sooner_press.best == pytest.approx(0.8 * press.best)
    assert (press.full, sooner_press.full) == (0.0, press.best)
    assert as_ever.best == load.best
    assert now.making.asked_dough_c < before.making.asked_dough_c
    assert now.water_c == pytest.approx(PLAN_KITCHEN.tap_c)


@pytest.mark.parametrize("read_c", [0.0, 45.0])
def test_a_reading_far_from_the_usual_makes_no_part_of_the_day_warmer_than_a_kitchen_can_be(read_c: float) -> None:
    """A night at 0 and a day at 45: a reading of the other one would shift the day to 90, or the night to 45 below."""
    kitchen = replace(PLAN_KITCHEN, room=(PartOfDay(0, 0.0), PartOfDay(600, 45.0)))
    asked = wish(method_key="", room_c=read_c, room_min=700 if read_c == 0.0 else 60)
    assert {part.temp_c for part in warmed(kitchen, asked, MORNING).room} <= {0.0, 45.0}
    with suppress(NothingFits):
        assert plans_for(asked, kitchen, MORNING, "b" * 22, SHELF)
