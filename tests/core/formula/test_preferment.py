"""Overall formula, preferment and final dough against published formulas that close."""

from __future__ import annotations

import pytest
from hypothesis import given

from tests.strategies import formulas
from webapp.core.formula.check import problems_of
from webapp.core.formula.formula import flour_g
from webapp.core.formula.ingredients import Formula, Ingredient, Preferment
from webapp.core.formula.preferment import parts


def grams(formula: Formula, dough_g: float) -> dict[str, dict[str, float]]:
    """Grams by part and key."""
    per_percent = flour_g(formula, dough_g) / 100
    return {part.key: {line.key: line.percent * per_percent for line in part.lines} for part in parts(formula)}


def lean(water: float, salt: float, yeast: float, pre: Preferment, *more: Ingredient, kind: str = "instant") -> Formula:
    """Flour, water, salt and a preferment."""
    rows = (
        Ingredient("flour", "Flour", "flour", 100), Ingredient("water", "Water", "water", water),
        Ingredient("salt", "Salt", "salt", salt), *more,
    )  # fmt: skip
    return Formula("lean", "Lean", "tray", rows, pre, kind, yeast)


def test_a_french_bread_with_poolish_divides_as_the_mill_prints_it() -> None:
    # King Arthur, bakemag.com article 10807 (kg): overall 10.000 / 6.700 / 0.200 / 0.110 = 17.010;
    # poolish 3.300 flour, 3.300 water, 0.007 yeast = 6.607; final dough 6.700 / 3.400 / 0.200 / 0.103 / 6.607
    poolish = Preferment("poolish", "Poolish", "poolish", 33.0, 100.0, 0.007 / 3.300 * 100)
    found = grams(lean(67.0, 2.0, 1.1, poolish), 17.010)
    assert found["poolish"] == pytest.approx({"flour": 3.300, "water": 3.300, "yeast": 0.007})
    expected = {"flour": 6.700, "water": 3.400, "salt": 0.200, "yeast": 0.103, "poolish": 6.607}
    assert found["dough"] == pytest.approx(expected)


def test_a_focaccia_with_a_sponge_divides_as_the_textbook_prints_it() -> None:
    # Gisslen, Professional Baking, 5th ed. (oz): sponge 8 flour, 6 water, 0.12 fresh;
    # dough 20 flour, 14 water, 0.12 fresh, 0.5 salt, 1 oil; overall 49.74
    sponge = Preferment("sponge", "Sponge", "sponge", 800 / 28, 75.0, 1.5)
    oil = Ingredient("oil", "Oil", "fat", 100 / 28)
    formula = lean(2000 / 28, 50 / 28, 24 / 28, sponge, oil, kind="fresh")
    found = grams(formula, 49.74)
    assert found["sponge"] == pytest.approx({"flour": 8, "water": 6, "yeast": 0.12})
    expected = {"flour": 20, "water": 14, "yeast": 0.12, "salt": 0.5, "oil": 1, "sponge": 14.12}
    assert found["dough"] == pytest.approx(expected)


def test_a_baguette_with_poolish_closes_to_a_kilogram() -> None:
    # Philip, Breaking Bread (g): total 587 / 398 / 12 / 3 = 1000; poolish 194 / 194; final 393 / 204 / 12 / 3 / 388
    poolish = Preferment("poolish", "Poolish", "poolish", 33.0, 100.0, 0.1)
    found = grams(lean(68.0, 2.0, 0.5, poolish), 1000)
    assert found["dough"]["flour"] == pytest.approx(393, abs=0.6)
    assert found["dough"]["water"] == pytest.approx(204, abs=1.5)  # the book prints 204, its own total leaves 205.3
    assert found["poolish"]["flour"] == pytest.approx(194, abs=0.5)
    assert found["dough"]["poolish"] == pytest.approx(388, abs=1.0)  # the sum of two lines printed to the gram


@given(formulas())
def test_preferment_and_final_dough_together_are_exactly_the_overall_formula(formula: Formula) -> None:
    assert problems_of(formula) == ()
    total: dict[str, float] = {}
    for part in parts(formula):
        for line in part.lines:
            if line.kind != "preferment":
                total[line.key] = total.get(line.key, 0.0) + line.percent
    overall = {i.key: i.percent for i in formula.ingredients} | {"yeast": formula.yeast_percent}
    assert total == pytest.approx(overall, abs=1e-6)
    assert parts(formula)[-1].percent == pytest.approx(formula.sum_percent)


def test_a_preferment_takes_the_flour_it_names_and_brings_its_allergens() -> None:
    rows = (
        Ingredient("white", "White", "flour", 60, 0, ("gluten",)),
        Ingredient("rye", "Rye", "flour", 40, 0, ("gluten",)),
        Ingredient("water", "Water", "water", 70),
    )  # fmt: skip
    formula = Formula("f", "F", "tray", rows, Preferment("s", "Sponge", "sponge", 20, 60, 0.2, "rye"))
    ahead, final = parts(formula)
    assert [line.key for line in ahead.lines] == ["water", "yeast", "rye"]
    assert next(line for line in final.lines if line.kind == "preferment").allergens == ("gluten",)
    assert {line.key: line.percent for line in final.lines}["rye"] == 20


def test_what_is_all_in_the_preferment_is_no_line_of_the_final_dough() -> None:
    pre = Preferment("biga", "Biga", "biga", 50.0, 45.0, 0.6)
    final = parts(lean(65.0, 2.0, 0.3, pre))[-1]
    assert "yeast" not in {line.key for line in final.lines}


def test_the_dough_is_poured_water_first_and_fat_last() -> None:
    rows = (
        Ingredient("oil", "Oil", "fat", 3), Ingredient("salt", "Salt", "salt", 2),
        Ingredient("flour", "F", "flour", 100), Ingredient("water", "Water", "water", 70),
    )  # fmt: skip
    (part,) = parts(Formula("f", "F", "tray", rows))
    assert [line.key for line in part.lines] == ["water", "yeast", "flour", "salt", "oil"]
    assert part.key == "dough"
