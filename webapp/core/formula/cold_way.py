"""The cold way for a dough with milk, egg, cheese or garlic in oil: out of the fridge for two hours at most, in all.

Mixing, the way into the fridge and the proof in the tray count together (the 2-hour rule of USDA FSIS, applied to
dough by common practice). The waits of a cold method are cut so that even the longest of them keep to it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from webapp.core.formula.ingredients import Ingredient
from webapp.core.formula.method import Method, MethodStep

# Minutes of waiting before the step: least, best, most. Hands take 35 min (mix 15, chill 5, temper 5, press 10), so
# that the most of all three leave five minutes to spare. In the tray there is time for the rest and the second go that
# so cold a dough wants, and for topping it.
SHORT_WAITS = {"chill": (0, 10, 15), "press": (5, 15, 20), "load": (40, 40, 45)}


def kept_short(method: Method) -> Method:
    """The method with short waits out of the fridge and nothing optional; methods without a fridge stay as they are."""
    if "fridge" not in method.uses:
        return method
    steps = tuple(_short(step) for step in method.steps if not step.optional)
    # So short a while leaves the tray no more than any.
    return replace(method, steps=steps, pressed_percent=100, mixed_cool=False)


def _short(step: MethodStep) -> MethodStep:
    if step.kind not in SHORT_WAITS:
        return step
    least, best, most = SHORT_WAITS[step.kind]
    return replace(step, wait_least_min=least, wait_best_min=best, wait_most_min=most)


def perishables(ingredients: Iterable[Ingredient]) -> tuple[str, ...]:
    """Names of what keeps a dough from standing warm for hours: milk, egg, cheese, meat, fish, fresh garlic."""
    return tuple(one.name for one in ingredients if one.percent > 0 and one.keeping in ("perishable", "warmed"))


def comes_cold(one: Ingredient) -> bool:
    """Does it go into the bowl straight from the fridge?"""
    return one.percent > 0 and one.keeping in ("fridge", "perishable")
