"""The records of a formula, and the kinds of yeast.

All flour of a formula, flour in preferments included, is 100 %; every other ingredient is a percent of that.

Yeast conversions by weight: Hamelman, *Bread* (fresh x 0.33 = instant, fresh x 0.40 = active dry), hence active dry
x 0.825 = instant.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.kinds import BreadStyle, IngredientKind, Keeping, PrefermentStyle, TypedUnit, YeastKind

FRESH_TO_INSTANT = 0.33
FRESH_TO_ACTIVE_DRY = 0.40
_INSTANT_PER: dict[YeastKind, float] = {
    "instant": 1.0,
    "active-dry": FRESH_TO_INSTANT / FRESH_TO_ACTIVE_DRY,
    "fresh": FRESH_TO_INSTANT,
}


@dataclass(frozen=True)
class Ingredient:
    """One ingredient of the overall formula, yeast excepted.

    `percent` of all flour; `water_share` is the part of its own weight that is water (milk 0.87, honey 0.17; plain
    water counts as 1 by its kind); flours count their own moisture as flour, as bakers do. `whole_share` is the
    part of a flour that is whole grain. `keeping` says whether it comes out of the fridge, and may stay out of it.
    """

    key: str
    name: str
    kind: IngredientKind
    percent: float
    water_share: float = 0.0
    allergens: tuple[str, ...] = ()
    whole_share: float = 0.0
    keeping: Keeping = ""
    allergens_said: bool = False  # somebody said which there are, or that there are none
    allergens_by_name: tuple[str, ...] = ()  # those that its name alone tells


@dataclass(frozen=True)
class Preferment:
    """Dough made ahead: `flour_percent` of all the formula's flour, with its own water and yeast.

    `hydration_percent` and `yeast_percent` (same kind of yeast as the formula) are of the preferment's own flour.
    Its yeast is part of the formula's yeast, not extra to it.
    """

    key: str
    name: str
    style: PrefermentStyle
    flour_percent: float
    hydration_percent: float
    yeast_percent: float
    flour_key: str = ""  # which flour it takes; "" = the first
    target_increase: float = 1.5
    note: str = ""


@dataclass(frozen=True)
class Formula:
    """An overall formula in baker's percentages and what its style asks for in the pan."""

    key: str
    name: str
    style: BreadStyle
    ingredients: tuple[Ingredient, ...]
    preferment: Preferment | None = None
    yeast_kind: YeastKind = "instant"
    yeast_percent: float = 0.3  # of that kind, all of it, the preferment's included
    loading_low: float = 0.6  # g/cm2
    loading: float = 0.7
    loading_high: float = 0.8
    target_increase: float = 1.2  # bulk rise at which it is best pressed out
    past_increase: float = 3.0  # rise at which it is past its best
    cold_only: bool = False  # milk, egg, cheese or garlic in oil in the dough: not for hours at room temperature
    toppings_key: str = "none"
    note: str = ""
    wanted_dough_c: float = 23.0
    typed_unit: TypedUnit = "percent"  # how an own formula was written down
    typed_flour_g: float = 0.0  # all its flour as written down; 0 for percent

    @property
    def salt_percent(self) -> float:
        """Salt, percent of flour."""
        return percent_of_kind(self, "salt")

    @property
    def sugar_percent(self) -> float:
        """Sugars, percent of flour."""
        return percent_of_kind(self, "sugar")

    @property
    def oil_percent(self) -> float:
        """Oil and other fats, percent of flour."""
        return percent_of_kind(self, "fat")

    @property
    def instant_percent(self) -> float:
        """All yeast as instant yeast, percent of flour."""
        return instant_equivalent(self.yeast_kind, self.yeast_percent)

    @property
    def sum_percent(self) -> float:
        """All percentages together, yeast included: dough per 100 of flour."""
        return sum(i.percent for i in self.ingredients) + self.yeast_percent


def percent_of_kind(formula: Formula, kind: IngredientKind) -> float:
    """Percent of flour of all ingredients of one kind."""
    return sum(i.percent for i in formula.ingredients if i.kind == kind)


def instant_equivalent(kind: YeastKind, percent: float) -> float:
    """Percent of instant yeast that works like `percent` of `kind` (Hamelman: fresh x 0.33, active dry x 0.825)."""
    return percent * _instant_per(kind)


def from_instant(kind: YeastKind, instant_percent: float) -> float:
    """The inverse of `instant_equivalent`: percent of `kind` that works like that much instant yeast."""
    return instant_percent / _instant_per(kind)


def _instant_per(kind: YeastKind) -> float:
    if kind not in _INSTANT_PER:
        raise PlanError.at("yeast_kind", "no-yeast-kind", typed=kind)
    return _INSTANT_PER[kind]
