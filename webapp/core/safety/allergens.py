"""Allergens of what is in the dough and on top, as the European Union (14) and the United States (9) name them.

The lists are in tables/allergens.toml with their sources. An allergen is never dropped: a key that no list knows is
shown as it was written.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from webapp.core.formula.ingredients import Ingredient
from webapp.core.plan.tray import Topping
from webapp.core.plan.weights import WeighLine


@dataclass(frozen=True)
class Allergen:
    """One entry: its name in the US list ("" = not among the nine), and the short one that a plan shows."""

    key: str
    us: str
    short: str  # for a line on a plan: "gluten (wheat)"
    names: tuple[str, ...] = ()  # what people call things that contain it, in small letters
    but: tuple[str, ...] = ()  # other foods in whose names such a word stands: there it tells nothing


NOTHING_IN_IT = ("water", "salt", "sugar")  # kinds of ingredients that nobody is asked about


class Entered(Protocol):
    """An ingredient or a topping, as somebody wrote it down."""

    @property
    def name(self) -> str: ...
    @property
    def allergens(self) -> tuple[str, ...]: ...
    @property
    def allergens_said(self) -> bool: ...
    @property
    def allergens_by_name(self) -> tuple[str, ...]: ...


def told_by_name(entered: Iterable[Entered]) -> tuple[str, ...]:
    """Keys of the allergens that nobody said and a name alone tells."""
    things = list(entered)
    said = {key for one in things for key in one.allergens if key not in one.allergens_by_name}
    return tuple(dict.fromkeys(key for one in things for key in one.allergens_by_name if key not in said))


def not_stated(ingredients: Iterable[Ingredient], toppings: Iterable[Topping]) -> tuple[str, ...]:
    """Names of what nobody said anything about, and of which the name tells nothing."""
    entered: list[Entered] = [one for one in ingredients if one.kind not in NOTHING_IN_IT]
    entered += toppings
    return tuple(dict.fromkeys(one.name for one in entered if not one.allergens and not one.allergens_said))


def allergens_of(
    lines: Iterable[WeighLine], toppings: Iterable[Topping], table: Iterable[Allergen] = ()
) -> tuple[str, ...]:
    """Keys of all allergens in dough and toppings, in the table's order, unknown ones last."""
    found = {key for line in lines for key in line.allergens} | {key for t in toppings for key in t.allergens}
    order = [entry.key for entry in table]
    return tuple(sorted(found, key=lambda key: (order.index(key) if key in order else len(order), key)))
