"""How what was typed is kept: foods that need keeping cold after the FDA Food Code (time/temperature control)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kinds import IngredientKind, Keeping
from webapp.data import doughs
from webapp.forms.keeping import kept, with_keeping


@pytest.mark.parametrize(
    ("name", "kind", "allergens", "keeping"),
    [
        ("Milk", "other", ("milk",), "perishable"), ("Warm milk", "other", ("milk",), "warmed"),
        ("Something", "other", ("eggs",), "perishable"), ("Ricotta", "other", (), "perishable"),
        ("Fresh garlic", "other", (), "perishable"), ("Garlic powder", "other", (), "shelf"),
        ("Butter", "fat", (), "fridge"), ("Soft butter", "fat", ("milk",), "shelf"),
        ("Ghee", "fat", ("milk",), "fridge"),
        ("Olive oil", "fat", (), "shelf"), ("Sugar", "sugar", (), "shelf"), ("Eggplant", "other", (), "shelf"),
    ],
)  # fmt: skip
def test_what_a_person_calls_it_says_how_it_is_kept(
    name: str, kind: IngredientKind, allergens: tuple[str, ...], keeping: Keeping
) -> None:
    assert kept(Ingredient("one", name, kind, 5.0, 0.0, allergens)).keeping == keeping


def test_what_says_it_itself_is_left_as_it_says() -> None:
    assert kept(Ingredient("one", "Milk powder", "other", 5.0, keeping="shelf")).keeping == "shelf"


@pytest.mark.parametrize("formula", doughs.formulas(), ids=lambda one: one.key)
def test_shipped_formulas_say_what_their_names_would(formula: Formula) -> None:
    for one in formula.ingredients:
        assert (one.keeping or "shelf") == kept(replace(one, keeping="")).keeping


def test_a_formula_from_before_this_was_asked_is_told_by_its_names() -> None:
    before = replace(
        doughs.formula("milk-round"),
        ingredients=tuple(replace(one, keeping="") for one in doughs.formula("milk-round").ingredients),
    )
    assert {one.name for one in with_keeping(before).ingredients if one.keeping == "perishable"} == {"Milk"}
