"""The shipped data: readable, possible, inside the ranges of the trade, each row with its source."""

from __future__ import annotations

import pytest

from webapp.core.errors import PlanError
from webapp.core.formula.check import hydration_percent
from webapp.core.formula.formula import allergens
from webapp.core.formula.ingredients import Formula
from webapp.core.kitchen import Kitchen
from webapp.core.rise.certainty import outside_range
from webapp.core.rise.fermentation import make_of, marks
from webapp.core.scale import pans
from webapp.core.scale.weighing import weigh_out
from webapp.core.units import g_cm2_from_oz_in2
from webapp.data import doughs
from webapp.data.read import table

# Loading bands worked out from Lehmann, Gisslen, Reinhart and others (trade notes, section 8), g/cm2
BANDS = {
    "thin": (0.30, 0.40), "round": (0.40, 0.55), "pan": (0.50, 0.72), "tray": (0.60, 0.85), "focaccia": (0.75, 1.0),
}  # fmt: skip


@pytest.mark.parametrize("formula", doughs.formulas(), ids=lambda f: f.key)
def test_a_shipped_formula_lies_inside_the_ranges_of_the_trade(formula: Formula) -> None:
    low, high = BANDS[formula.style]
    assert low <= formula.loading_low <= formula.loading <= formula.loading_high <= high
    assert 1.8 <= formula.salt_percent <= 3.2  # bread 1.8-2.2, pizza 2-3, TSG to 3.2 %
    assert 56 <= hydration_percent(formula) <= 90
    assert 0.05 <= formula.instant_percent <= 2.0
    assert outside_range(make_of(formula), formula.wanted_dough_c) == ()
    assert "gluten" in allergens(formula)
    assert formula.note
    press, load = marks(formula)
    assert press.best < load.best < load.past


@pytest.mark.parametrize("formula", doughs.formulas(), ids=lambda f: f.key)
def test_a_shipped_formula_can_be_weighed_in_a_plain_kitchen(formula: Formula) -> None:
    lines = weigh_out(formula, 745.0, Kitchen(), 24.0, doughs.measures())
    assert sum(line.grams for line in lines if line.part == "dough") == pytest.approx(745)


def test_milk_in_a_dough_keeps_it_cold() -> None:
    for formula in doughs.formulas():
        assert formula.cold_only == ("milk" in allergens(formula))


def test_a_shipped_formula_knows_only_toppings_and_allergens_that_are_there() -> None:
    known = {row["key"] for row in table("allergens")["allergen"]}
    for formula in doughs.formulas():
        assert set(allergens(formula)) <= known
        assert formula.toppings_key in {row["key"] for row in table("toppings")["set"]} | {"none"}


def test_shipped_keys_are_each_their_own() -> None:
    for keys in ([f.key for f in doughs.formulas()], [p.key for p in doughs.pans()]):
        assert len(keys) == len(set(keys))


def test_at_least_a_tray_a_round_pan_and_an_oily_bread_are_shipped() -> None:
    assert {"tray", "round", "focaccia"} <= {f.style for f in doughs.formulas()}
    assert {f.toppings_key for f in doughs.formulas()} <= {"tomato-cheese", "herb-oil", "none"}
    assert any(f.preferment for f in doughs.formulas())


def test_a_focaccia_is_as_deep_as_the_textbooks() -> None:
    # Gisslen, Professional Baking, 5th ed.: 3 lb on a half-size sheet of 18 x 13 in
    assert g_cm2_from_oz_in2(48 / (18 * 13)) == pytest.approx(0.90, abs=0.005)
    low, high = BANDS["focaccia"]
    assert low <= g_cm2_from_oz_in2(48 / (18 * 13)) <= high


def test_a_formula_is_found_by_its_key_or_its_absence_is_named() -> None:
    assert doughs.formula("bench-tray").name == "Plain tray pizza"
    with pytest.raises(PlanError, match="formula_key: no-formula typed stone-soup"):
        doughs.formula("stone-soup")


@pytest.mark.parametrize(("key", "area"), [("gn-1-1", 1396), ("gn-2-3", 895), ("gn-1-2", 641), ("tray-60x40", 2400)])
def test_pans_have_the_floors_of_the_standard(key: str, area: float) -> None:
    # EN 631 outer sizes less 40 mm each way (trade notes, section 8)
    (pan,) = [p for p in doughs.pans() if p.key == key]
    assert pan.area_cm2 == pytest.approx(area, abs=1)


@pytest.mark.parametrize("name", ["pans", "measures"])
def test_every_row_of_a_table_names_its_source(name: str) -> None:
    (rows,) = table(name).values()
    assert all(row["source"] for row in rows)


def test_spoons_hold_what_the_bakers_weights_table_says() -> None:
    # Reinhart, The Bread Baker's Apprentice: instant 28 g = 3 tbsp, active dry 7 g = 2.5 tsp, honey 28 g = 1.5 tbsp
    spoons = doughs.measures()
    assert spoons["yeast-instant"].g_per_tsp == pytest.approx(28 / 9, abs=0.02)
    assert spoons["yeast-active-dry"].g_per_tsp == pytest.approx(7 / 2.5)
    assert spoons["honey"].g_per_tsp == pytest.approx(28 / 4.5, abs=0.1)


# What books and the trade's press put on one pan: (dough here, pan of pans.toml, grams, source).
PUBLISHED_MASSES = (
    ("oil-tray", "half-sheet", 3 * 453.59237, "3 lb of focaccia on a half sheet: Gisslen, Professional Baking"),
    ("round-flat", "round-30", 340.0, "a ball of 340 g for 12 inches: Forkish, Flour Water Salt Yeast"),
    ("round-flat", "round-30", 11 * 28.349523, "11 oz on 12 inches: Lehmann, Pizza Today, October 2019"),
)  # fmt: skip


@pytest.mark.parametrize(("key", "pan_key", "grams", "source"), PUBLISHED_MASSES)
def test_a_shipped_dough_fills_a_known_pan_with_what_is_published_for_it(
    key: str, pan_key: str, grams: float, source: str
) -> None:
    formula = doughs.formula(key)
    pan = next(pan for pan in doughs.pans() if pan.key == pan_key)
    assert pans.dough_g([pan], formula.loading) == pytest.approx(grams, rel=0.1), source
    low, high = (pans.dough_g([pan], loading) for loading in (formula.loading_low, formula.loading_high))
    assert low * 0.95 < grams < high, source


def test_the_pans_of_a_new_kitchen_are_as_large_as_they_say_and_come_first() -> None:
    """38 x 28 cm are 1064 cm2; 28 cm across are pi / 4 x 28^2 = 615.75 cm2 (geometry)."""
    tray, round_pan = Kitchen().pans
    assert tray.area_cm2 == 1064.0
    assert round_pan.area_cm2 == pytest.approx(615.75, abs=0.06)
    assert doughs.pans()[:2] == (tray, round_pan)
    assert len(doughs.pans()) == 2 + len(table("pans")["pan"])
