"""How an ingredient is kept, told by what a person calls it: the one place where a name that was typed says so.

A form asks for names and allergens, not for the fridge; so that nobody has to know the rule, and forgetting must not
make a dough safe. What is told here is kept with the formula (`Ingredient.keeping`), and nothing looks at a name again.
"""

from __future__ import annotations

import re
from dataclasses import replace

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.formula.toppings import ToppingItem
from webapp.core.kinds import Keeping

# Foods that need keeping cold (FDA Food Code, time/temperature control for safety): told by their allergens, or by
# what a person calls them. Butter and ghee are fat with little water in it and stand as oil does (common practice).
_ALLERGENS = {"milk", "eggs", "fish", "crustaceans", "molluscs"}
_WORDS = {
    "milk", "buttermilk", "cream", "yoghurt", "yogurt", "kefir", "whey", "quark", "curd", "cheese", "cheeses",
    "ricotta", "mozzarella", "parmesan", "feta", "egg", "eggs", "yolk", "yolks", "meat", "ham", "bacon", "sausage",
    "salami", "fish", "anchovy", "anchovies", "garlic",
}  # fmt: skip
_WARMED = {"warm", "warmed", "lukewarm", "tepid", "soft", "softened", "melted", "room"}
_DRY = {"powder", "granules", "dried"}
_WET = {
    "tomato",
    "tomatoes",
    "garlic",
    "cooked",
    "boiled",
    "roast",
    "roasted",
    "fried",
    "grilled",
    "braised",
    "spinach",
}
_STANDS = {"oil", "paste", "nuts", "seeds", "whole"}


def with_keeping(formula: Formula) -> Formula:
    """The formula with what nobody has said of its ingredients told by their names: own ones from before it was."""
    return replace(formula, ingredients=tuple(map(kept, formula.ingredients)))


def kept(one: Ingredient) -> Ingredient:
    """The ingredient with how it is kept, told by its name unless it says so itself."""
    return one if one.keeping else replace(one, keeping=keeping_of(one))


def keeping_of(one: Ingredient) -> Keeping:
    """By its name, its kind and its allergens; what is called warm or soft has left the fridge a while ago."""
    words = set(re.findall(r"[^\W\d_]+", one.name.lower()))
    if _perishes(one, words):
        return "warmed" if words & _WARMED else "perishable"
    from_fridge = "butter" in words or (one.kind == "fat" and "milk" in one.allergens)
    return "fridge" if from_fridge and not words & _WARMED else "shelf"


def topping_perishes(one: ToppingItem) -> bool:
    """By its name, its allergens and what it can do: a topping that is kept in the fridge. Cut tomatoes and what was
    cooked perish too (the same list); an oil or what is dried does not."""
    words = set(re.findall(r"[^\W\d_]+", one.name.lower()))
    if one.risk or words & _WORDS - {"garlic"} or _ALLERGENS & set(one.allergens):
        return True
    return bool(words & _WET) and not words & (_DRY | _STANDS)


def _perishes(one: Ingredient, words: set[str]) -> bool:
    by_name = words & _WORDS - ({"garlic"} if words & _DRY else set())
    by_allergen = one.kind != "fat" and bool(_ALLERGENS & set(one.allergens))
    return bool(by_name) or by_allergen
