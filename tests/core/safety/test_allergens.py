"""Allergens against the two legal lists."""

from __future__ import annotations

from webapp.core.plan.tray import Topping
from webapp.core.plan.weights import WeighLine
from webapp.core.safety.allergens import allergens_of
from webapp.data import doughs
from webapp.data import safety as safety_data
from webapp.data import toppings as topping_data

# Regulation (EU) 1169/2011 Annex II, in its order; FALCPA 2004 + FASTER Act.
EU_14 = (
    "gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soybeans",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
)
US_9 = {"milk", "egg", "fish", "crustacean shellfish", "tree nuts", "wheat", "peanuts", "soybeans", "sesame"}


def _line(*keys: str) -> WeighLine:
    return WeighLine("x", "X", "other", "dough", 1, 1, 1, allergens=keys)


def _topping(*keys: str) -> Topping:
    return Topping("t", "T", 1.0, "before", False, 0, allergens=keys)


def test_the_table_holds_the_fourteen_and_the_nine() -> None:
    table = safety_data.allergens()
    assert tuple(a.key for a in table) == EU_14
    assert {a.us for a in table if a.us} == US_9


def test_dough_and_topping_are_read_together_in_the_order_of_the_law() -> None:
    found = allergens_of([_line("milk", "gluten")], [_topping("nuts", "milk")], safety_data.allergens())
    assert found == ("gluten", "milk", "nuts")


def test_an_allergen_that_no_list_knows_is_never_dropped() -> None:
    found = allergens_of([_line("kiwi", "milk")], [], safety_data.allergens())
    assert found == ("milk", "kiwi")


def test_every_allergen_named_by_shipped_formulas_and_toppings_is_in_the_table() -> None:
    named = {key for f in doughs.formulas() for i in f.ingredients for key in i.allergens}
    for chosen in topping_data.topping_sets().values():
        named |= {key for item in chosen.items for key in item.allergens}
        named |= set(chosen.rim.allergens) if chosen.rim else set()
    assert named <= set(EU_14)
