"""The cold way for a dough with milk, egg, cheese or garlic in oil: out of the fridge for two hours at most, in all.

Mixing, the way into the fridge and the proof in the tray count together (the 2-hour rule of USDA FSIS, applied to
dough by common practice). The waits of a cold method are cut so that even the longest of them keep to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from webapp.core.formula.ingredients import Ingredient
from webapp.core.formula.method import Method, MethodStep

# Minutes of waiting before the step: least, best, most. Hands take 35 min (mix 15, chill 5, temper 5, press 10), so
# that the most of all three leave five minutes to spare.
SHORT_WAITS = {"chill": (0, 10, 15), "press": (5, 15, 20), "load": (30, 40, 45)}


def kept_short(method: Method) -> Method:
    """The method with short waits out of the fridge and nothing optional; methods without a fridge stay as they are."""
    if "fridge" not in method.uses:
        return method
    return replace(method, steps=tuple(_short(step) for step in method.steps if not step.optional))


def _short(step: MethodStep) -> MethodStep:
    if step.kind not in SHORT_WAITS:
        return step
    least, best, most = SHORT_WAITS[step.kind]
    return replace(step, wait_least_min=least, wait_best_min=best, wait_most_min=most)


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


def perishables(ingredients: Iterable[Ingredient]) -> tuple[str, ...]:
    """Names of what keeps a dough from standing warm for hours: milk, egg, cheese, meat, fish, fresh garlic."""
    return tuple(one.name for one in ingredients if one.percent > 0 and _perishes(one))


def comes_cold(one: Ingredient) -> bool:
    """Does it go into the bowl straight from the fridge? What perishes and butter do, unless the list says warm."""
    words = set(re.findall(r"[^\W\d_]+", one.name.lower()))
    kept_cold = _perishes(one) or "butter" in words or (one.kind == "fat" and "milk" in one.allergens)
    return one.percent > 0 and kept_cold and not words & _WARMED


def _perishes(one: Ingredient) -> bool:
    words = set(re.findall(r"[^\W\d_]+", one.name.lower()))
    by_name = words & _WORDS - ({"garlic"} if words & _DRY else set())
    by_allergen = one.kind != "fat" and bool(_ALLERGENS & set(one.allergens))
    return bool(by_name) or by_allergen
