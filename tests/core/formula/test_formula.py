"""Baker's percentages against published worked examples, and formulas that cannot work."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import between, formulas
from webapp.core.errors import PlanError
from webapp.core.formula.check import hydration_percent, problems_of
from webapp.core.formula.formula import (
    allergens,
    flour_g,
    formula_from_dict,
    formula_to_dict,
    percents_from_grams,
    whole_share,
    with_yeast,
)
from webapp.core.formula.ingredients import Formula, Ingredient, Preferment, from_instant, instant_equivalent
from webapp.core.kinds import YEAST_KINDS


def dough(water: float = 70.0, salt: float = 2.2, yeast: float = 0.3, **more: object) -> Formula:
    """A plain dough with what the test cares about changed."""
    rows = (
        Ingredient("flour", "Flour", "flour", 100.0, 0.0, ("gluten",)),
        Ingredient("water", "Water", "water", water),
        Ingredient("salt", "Salt", "salt", salt),
    )
    return replace(Formula("plain", "Plain", "tray", rows, yeast_percent=yeast), **more)  # type: ignore[arg-type]


def fields_of(formula: Formula) -> set[str]:
    return {p.field for p in problems_of(formula)}


def test_a_straight_dough_in_grams_has_the_percentages_the_book_prints() -> None:
    # Forkish, Flour Water Salt Yeast (2012): 1000 / 780 / 22 / 0.8 g = 100 / 78 / 2.2 / 0.08 %
    grams = {"flour": 1000.0, "water": 780.0, "salt": 22.0, "yeast": 0.8}
    expected = {"flour": 100, "water": 78, "salt": 2.2, "yeast": 0.08}
    assert percents_from_grams(grams, ["flour"]) == pytest.approx(expected)


def test_the_flour_of_a_dough_is_its_mass_over_the_sum_of_percentages() -> None:
    # dawghousebakery.com: 4 x 335 g of 100 + 80 + 2 = 182 % takes 736 g of flour
    assert flour_g(dough(80, 2, 0), 1340) == pytest.approx(736.26, abs=0.01)


@given(st.lists(between(1, 5000), min_size=3, max_size=6), between(0.2, 4))
def test_grams_to_percent_and_back_loses_nothing_in_any_unit_of_mass(masses: list[float], unit: float) -> None:
    grams = {f"i{n}": m for n, m in enumerate(masses)}
    percents = percents_from_grams(grams, ["i0", "i1"])
    assert percents["i0"] + percents["i1"] == pytest.approx(100)
    flour = masses[0] + masses[1]
    assert {key: percent * flour / 100.0 for key, percent in percents.items()} == pytest.approx(grams)
    assert percents_from_grams({k: g * unit for k, g in grams.items()}, ["i0", "i1"]) == pytest.approx(percents)


@pytest.mark.parametrize("flour", [0.0, math.nan, math.inf])
def test_grams_without_flour_have_no_percentages(flour: float) -> None:
    with pytest.raises(PlanError, match="flour: no-flour-weight"):
        percents_from_grams({"flour": flour, "water": 100.0}, ["flour"])


@pytest.mark.parametrize(("kind", "percent", "instant"), [("fresh", 1.0, 0.33), ("active-dry", 1.0, 0.825)])
def test_yeast_converts_by_hamelmans_factors(kind: str, percent: float, instant: float) -> None:
    # Hamelman, Bread: fresh x 0.33 = instant, fresh x 0.40 = active dry, hence active dry x 0.825 = instant
    assert instant_equivalent(kind, percent) == pytest.approx(instant)


@given(st.sampled_from(YEAST_KINDS), between(0.01, 5))
def test_yeast_there_and_back_is_the_same(kind: str, percent: float) -> None:
    assert from_instant(kind, instant_equivalent(kind, percent)) == pytest.approx(percent)


@given(formulas(preferment=True), st.sampled_from(YEAST_KINDS), between(0.2, 2))
def test_changing_the_yeast_keeps_the_preferments_share_of_it(formula: Formula, kind: str, percent: float) -> None:
    changed = with_yeast(formula, kind, percent)
    assert changed.preferment is not None
    assert formula.preferment is not None
    before = formula.preferment.yeast_percent / formula.yeast_percent
    assert changed.preferment.yeast_percent / percent == pytest.approx(before)
    assert (changed.yeast_kind, changed.instant_percent) == (kind, pytest.approx(instant_equivalent(kind, percent)))


def test_yeast_given_to_a_formula_without_any_leaves_its_preferment_alone() -> None:
    pre = Preferment("p", "Poolish", "poolish", 30, 100, 0.1)
    changed = with_yeast(dough(yeast=0.0, preferment=pre), "fresh", 1.0)
    assert changed.preferment == pre


def test_an_unknown_yeast_is_named() -> None:
    with pytest.raises(PlanError, match="no-yeast-kind typed baking powder"):
        with_yeast(dough(), "baking powder", 1.0)


def test_hydration_counts_the_water_in_milk_and_honey() -> None:
    # by hand: 20 + 50 x 0.88 + 2 x 0.17 = 64.34
    rows = (
        Ingredient("flour", "Flour", "flour", 100.0), Ingredient("water", "Water", "water", 20.0),
        Ingredient("milk", "Milk", "other", 50.0, 0.88), Ingredient("honey", "Honey", "sugar", 2.0, 0.17),
    )  # fmt: skip
    assert hydration_percent(Formula("f", "F", "tray", rows)) == pytest.approx(64.34)


def test_a_formula_knows_its_solutes_whole_grain_and_allergens() -> None:
    rows = (
        Ingredient("white", "White", "flour", 60.0, 0.0, ("gluten",)),
        Ingredient("whole", "Whole", "flour", 40.0, 0.0, ("gluten",), 1.0),
        Ingredient("butter", "Butter", "fat", 5.0, 0.16, ("milk",)), Ingredient("oil", "Oil", "fat", 1.0),
        Ingredient("sugar", "Sugar", "sugar", 3.0), Ingredient("salt", "Salt", "salt", 2.0),
    )  # fmt: skip
    formula = Formula("f", "F", "tray", rows, yeast_percent=1.0)
    assert (formula.oil_percent, formula.sugar_percent, formula.salt_percent) == (6.0, 3.0, 2.0)
    assert whole_share(formula) == pytest.approx(0.4)
    assert allergens(formula) == ("gluten", "milk")
    assert formula.sum_percent == pytest.approx(112.0)


@given(formulas())
def test_a_formula_survives_the_way_through_plain_values(formula: Formula) -> None:
    assert formula_from_dict(formula_to_dict(formula)) == formula


def test_a_formula_that_works_has_no_problems() -> None:
    assert problems_of(dough()) == ()


@pytest.mark.parametrize(
    ("formula", "field", "kind"),
    [
        (dough(water=0), "water", "no-water"),
        (dough(water=20), "water", "crumbs"),
        (dough(water=150), "water", "batter"),
        (dough(salt=9), "salt", "much-salt"),
        (dough(yeast=9), "yeast_percent", "much-yeast"),
        (dough(yeast=0), "yeast_percent", "no-yeast"),
        (dough(ingredients=(Ingredient("water", "Water", "water", 70),)), "flour", "no-flour"),
        (dough(ingredients=(Ingredient("flour", "Flour", "flour", 90), Ingredient("water", "W", "water", 70))), "flour",
         "flour-sum"),
        (dough(loading=5.0), "loading", "loading-order"),
        (dough(target_increase=3.5), "target_increase", "increase-order"),
        (dough(wanted_dough_c=80), "wanted_dough_c", "dough-warmth"),
    ],
)  # fmt: skip
def test_a_formula_that_cannot_work_is_named_for_what_it_is(formula: Formula, field: str, kind: str) -> None:
    assert [p.kind for p in problems_of(formula) if p.field == field] == [kind]


@pytest.mark.parametrize("kind", ["sugar", "fat"])
def test_half_sugar_or_half_fat_is_no_dough(kind: str) -> None:
    formula = dough()
    rows = (*formula.ingredients, Ingredient("extra", "Extra", kind, 50.0))
    assert kind in fields_of(replace(formula, ingredients=rows))


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
def test_numbers_that_are_none_are_found_wherever_they_hide(bad: float) -> None:
    assert fields_of(dough(water=bad, salt=bad, yeast=bad)) == {"water", "salt", "yeast_percent"}
    assert "preferment" in fields_of(dough(preferment=Preferment("p", "P", "poolish", 30, bad, 0.1)))
    assert "preferment" in fields_of(dough(preferment=Preferment("p", "P", "poolish", bad, 100, 0.1)))


def test_a_preferment_without_flour_is_no_preferment() -> None:
    assert fields_of(dough(preferment=Preferment("p", "P", "poolish", 0, 100, 0.1))) == {"preferment"}


@pytest.mark.parametrize(
    ("pre", "what"),
    [
        (Preferment("p", "P", "poolish", 120, 50, 0.1), "flour"),
        (Preferment("p", "P", "poolish", 80, 100, 0.1), "water"),
        (Preferment("p", "P", "sponge", 50, 60, 1.0), "yeast"),
    ],
)
def test_a_preferment_cannot_take_more_than_the_formula_has(pre: Preferment, what: str) -> None:
    problems = problems_of(dough(preferment=pre))
    assert [p.field for p in problems] == ["preferment"]
    assert problems[0].figures["what"] == what


def test_a_preferment_of_a_flour_or_water_that_is_not_there_is_named() -> None:
    pre = Preferment("p", "P", "poolish", 30, 100, 0.1, flour_key="rye")
    rows = (Ingredient("flour", "Flour", "flour", 100), Ingredient("milk", "Milk", "other", 75, 0.88))
    taken = [p.figures for p in problems_of(dough(preferment=pre, ingredients=rows))]
    assert {"name": "P", "percent": 30.0, "what": "flour", "there_percent": 0.0} in taken
    assert {"name": "P", "percent": 30.0, "what": "water", "there_percent": 0.0} in taken


@pytest.mark.parametrize(
    ("row", "field"),
    [
        (Ingredient("flour", "Again", "flour", 0.0), "flour"),
        (Ingredient("yeast", "Yeast", "other", 1.0), "yeast"),
        (Ingredient("stone", "Stone", "mineral", 1.0), "stone"),
        (Ingredient("milk", "Milk", "other", 1.0, 1.4), "milk"),
        (Ingredient("milk", "Milk", "other", 1.0, keeping="cellar"), "milk"),  # type: ignore[arg-type]
        (Ingredient("whole", "Whole", "flour", 0.0, 0.0, (), -0.1), "whole"),
    ],
)
def test_an_ingredient_that_is_none_is_named(row: Ingredient, field: str) -> None:
    formula = dough()
    assert field in fields_of(replace(formula, ingredients=(*formula.ingredients, row)))


def test_an_unknown_kind_of_yeast_is_named() -> None:
    (problem,) = [p for p in problems_of(dough(yeast_kind="sour")) if p.field == "yeast_kind"]
    assert (problem.kind, problem.figures) == ("no-yeast-kind", {"typed": "sour"})


def test_a_key_that_is_taken_by_a_preferment_is_named() -> None:
    assert "preferment" in fields_of(dough(preferment=Preferment("salt", "P", "poolish", 30, 100, 0.1)))


def test_everything_that_cannot_be_read_is_named_at_once() -> None:
    with pytest.raises(PlanError) as caught:
        formula_from_dict({
            "name": 7, "style": "tray", "cold_only": "yes", "loading": "much", "colour": "blue",
            "ingredients": [{"key": "flour", "name": "Flour", "kind": "flour", "percent": 100, "allergens": "gluten"}],
            "preferment": {"key": "p"},
        })  # fmt: skip
    fields = {p.field for p in caught.value.problems}
    assert {"key", "name", "cold_only", "loading", "colour", "allergens", "hydration_percent"} <= fields


def test_what_is_not_a_table_is_named_not_crashed_on() -> None:
    with pytest.raises(PlanError) as caught:
        formula_from_dict({"key": "a", "name": "A", "style": "tray", "ingredients": "flour", "preferment": 3})
    assert {p.field for p in caught.value.problems} == {"ingredients", "preferment"}


def test_numbers_may_be_typed_with_a_comma() -> None:
    rows = [
        {"key": "flour", "name": "Flour", "kind": "flour", "percent": "100"},
        {"key": "water", "name": "Water", "kind": "water", "percent": "67,5"},
    ]
    plain = {"key": "a", "name": "A", "style": "tray", "ingredients": rows}
    formula = formula_from_dict(plain)
    assert hydration_percent(formula) == 67.5
    assert formula.preferment is None
    with pytest.raises(PlanError, match="yeast_percent: no-number typed True"):
        formula_from_dict({**plain, "yeast_percent": True})


@pytest.mark.parametrize("plain", [None, 7, "focaccia", [1, 2]])
def test_what_is_no_table_of_values_is_no_formula(plain: object) -> None:
    with pytest.raises(PlanError, match="no-formula-values"):
        formula_from_dict(plain)
