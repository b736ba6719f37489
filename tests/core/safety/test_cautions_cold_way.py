"""The cold way keeps a rich dough within two hours out of the fridge, whichever of its waits the planner takes."""

from __future__ import annotations

import pytest

from tests.wishes import shipped_methods
from webapp.core.formula.cold_way import kept_short, perishables
from webapp.core.formula.ingredients import Ingredient
from webapp.core.formula.method import Method
from webapp.core.plan.caution import OUT_LIMIT_S

COLD = [one for one in shipped_methods() if "fridge" in one.uses]


@pytest.mark.parametrize("method", COLD, ids=lambda m: m.key)
def test_even_the_longest_waits_keep_to_two_hours_in_all(method: Method) -> None:
    out_min, place = 0, "bench"
    for step in kept_short(method).steps:
        out_min += step.wait_most_min if place != "fridge" else 0
        out_min += step.hands if step.kind != "load" else 0
        place = step.goes_to or place
    assert out_min * 60 <= OUT_LIMIT_S  # USDA FSIS: 2 h


@pytest.mark.parametrize("method", COLD, ids=lambda m: m.key)
def test_the_time_in_the_fridge_is_left_as_it_was(method: Method) -> None:
    waits = [(s.kind, s.wait_least_min, s.wait_most_min) for s in method.steps if s.kind == "temper"]
    assert [
        (s.kind, s.wait_least_min, s.wait_most_min) for s in kept_short(method).steps if s.kind == "temper"
    ] == waits


def test_a_method_without_a_fridge_is_left_alone() -> None:
    for method in shipped_methods():
        if "fridge" not in method.uses:
            assert kept_short(method) == method


def test_what_perishes_is_named_and_what_is_not_in_it_is_not() -> None:
    """Milk and eggs need keeping cold (FDA Food Code, time/temperature control for safety); flour and oil do not."""
    listed = (
        Ingredient("flour", "Strong flour", "flour", 100.0),
        Ingredient("milk", "Whole milk", "other", 30.0, allergens=("milk",), keeping="warmed"),
        Ingredient("oil", "Olive oil", "fat", 4.0),
        Ingredient("butter", "Butter", "fat", 4.0, keeping="fridge"),
        Ingredient("egg", "Egg", "other", 0.0, allergens=("eggs",), keeping="perishable"),
    )
    assert perishables(listed) == ("Whole milk",)
