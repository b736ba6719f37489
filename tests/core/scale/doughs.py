"""What the tests of this folder weigh: a plain dough, whose grams are worked out by hand, on a fine scale."""

from __future__ import annotations

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kitchen import Kitchen

FINE = Kitchen(micro_step_g=0.01)
# 100 / 70 / 2 / 0.5 = 172.5 %: of 1725 g 1000 are flour, 700 water, 20 salt, 5 yeast.
PLAIN = Formula(
    "plain", "Plain", "tray",
    (
        Ingredient("flour", "Flour", "flour", 100), Ingredient("water", "Water", "water", 70),
        Ingredient("salt", "Salt", "salt", 2.0),
    ),
    yeast_percent=0.5,
)  # fmt: skip
