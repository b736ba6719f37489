"""Allergens of what is in the dough and on top, as the European Union (14) and the United States (9) name them.

The lists are in tables/allergens.toml with their sources. An allergen is never dropped: a key that no list knows is
shown as it was written.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from webapp.core.plan.tray import Topping
from webapp.core.plan.weights import WeighLine


@dataclass(frozen=True)
class Allergen:
    """One entry: its name in the US list ("" = not among the nine), and the short one that a plan shows."""

    key: str
    us: str
    short: str  # for a line on a plan: "gluten (wheat)"


def allergens_of(
    lines: Iterable[WeighLine], toppings: Iterable[Topping], table: Iterable[Allergen] = ()
) -> tuple[str, ...]:
    """Keys of all allergens in dough and toppings, in the table's order, unknown ones last."""
    found = {key for line in lines for key in line.allergens} | {key for t in toppings for key in t.allergens}
    order = [entry.key for entry in table]
    return tuple(sorted(found, key=lambda key: (order.index(key) if key in order else len(order), key)))
