"""What keeps a formula from being a dough, said so that it can be mended.

Where a dough ends is common practice; the limits here lie far outside the ranges of the trade (salt 1.8 to 3.2 %,
instant yeast to 2 %, water 56 to 107 %), so that an unusual dough passes and an impossible one does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from webapp.core.errors import PlanError, Problem
from webapp.core.formula.ingredients import (
    YEAST_WAY_OUT,
    Formula,
    Ingredient,
    percent_of_kind,
)
from webapp.core.kinds import INGREDIENT_KINDS, KEEPINGS, YEAST_KINDS, IngredientKind

RESERVED_KEYS = ("yeast", "yeast-water")  # lines that a weigh-out list adds itself


def problems_of(formula: Formula) -> tuple[Problem, ...]:
    """Everything that keeps this formula from being a dough, all of it at once; empty when it can work."""
    numbers = tuple(_number_problems(formula))
    return numbers or (*_flour_problems(formula), *_range_problems(formula), *_preferment_problems(formula))


def checked(formula: Formula) -> Formula:
    """The formula itself; PlanError with every problem when it cannot work."""
    problems = problems_of(formula)
    if problems:
        raise PlanError(*problems)
    return formula


def hydration_percent(formula: Formula) -> float:
    """All water, the water in other ingredients counted, as percent of flour; fresh yeast's own water is left out."""
    return sum(_water_percent(i) for i in formula.ingredients)


def _water_percent(ingredient: Ingredient) -> float:
    return ingredient.percent * (1.0 if ingredient.kind == "water" else ingredient.water_share)


def _number_problems(formula: Formula) -> Iterable[Problem]:
    keys = [i.key for i in formula.ingredients]
    for i in formula.ingredients:
        if not math.isfinite(i.percent) or i.percent < 0:
            yield Problem(i.key, f"{i.name}: {i.percent} is not an amount.", "Give a number, 0 or more.")
        if not 0 <= i.water_share <= 1 or not 0 <= i.whole_share <= 1:
            yield Problem(i.key, f"{i.name}: a share lies between 0 and 1.", "Milk, for one, is 0.87 water.")
        if i.kind not in INGREDIENT_KINDS:
            yield Problem(i.key, f"{i.name}: “{i.kind}” is not a kind of ingredient.", _KINDS_WAY_OUT)
        if i.keeping not in KEEPINGS:
            yield Problem(i.key, f"{i.name}: it cannot be kept “{i.keeping}”.", _KEEPINGS_WAY_OUT)
        if keys.count(i.key) > 1 or i.key in RESERVED_KEYS:
            yield Problem(i.key, f"{i.name}: the key {i.key} is taken.", "Give it another.")
    if not math.isfinite(formula.yeast_percent) or formula.yeast_percent < 0:
        yield Problem("yeast_percent", f"Yeast: {formula.yeast_percent} is not an amount.", "Give a number above 0.")
    if formula.yeast_kind not in YEAST_KINDS:
        yield Problem("yeast_kind", f"“{formula.yeast_kind}” is not a kind of yeast known here.", YEAST_WAY_OUT)
    yield from _style_problems(formula)


_KEEPINGS_WAY_OUT = f"Choose one of {', '.join(filter(None, KEEPINGS))}."
_KINDS_WAY_OUT = f"Choose one of {', '.join(INGREDIENT_KINDS)}."


def _style_problems(formula: Formula) -> Iterable[Problem]:
    if not 0.05 <= formula.loading_low <= formula.loading <= formula.loading_high <= 3:
        yield Problem(
            "loading",
            "The dough loading must rise from low over usual to high, 0.05 to 3 g/cm2.",
            "A thin base takes about 0.35 g/cm2, a deep tray 0.75.",
        )
    if not 0 < formula.target_increase < formula.past_increase <= 8:
        yield Problem(
            "target_increase",
            "The rise to press at must lie above 0 and below the rise that is past it.",
            "1 means doubled; strong white flour is past its best at about 3.",
        )
    if not 5 <= formula.wanted_dough_c <= 35:
        yield Problem("wanted_dough_c", "A dough is wanted between 5 and 35 °C.", "22 to 26 °C suits most.")


def _flour_problems(formula: Formula) -> Iterable[Problem]:
    flour = percent_of_kind(formula, "flour")
    if flour == 0:
        yield Problem("flour", "There is no flour.", "All else is a percent of the flour: give it first.")
    elif abs(flour - 100.0) > 0.05:
        yield Problem(
            "flour",
            f"The flours come to {flour:.4g} %, not 100.",
            "All flours together are 100 %: put the difference into one of them.",
        )


_LEAST_WATER, _MOST_WATER, _MOST_SALT, _MOST_INSTANT, _MOST_SUGAR, _MOST_FAT = 35.0, 130.0, 4.5, 4.0, 30.0, 40.0


def _range_problems(formula: Formula) -> Iterable[Problem]:
    water = hydration_percent(formula)
    if water == 0:
        yield Problem("water", "There is no water.", "A tray dough takes 65 to 85 % of the flour's weight.")
    elif not _LEAST_WATER <= water <= _MOST_WATER:
        what = "crumbs" if water < _LEAST_WATER else "a batter"
        yield Problem("water", f"{water:.4g} % water makes {what}, not a dough.", "Stay between 35 and 130 %.")
    bounds: tuple[tuple[str, IngredientKind, float, str], ...] = (
        ("salt", "salt", _MOST_SALT, "Pizza dough takes 2 to 3 %; past 4.5 % yeast hardly works and nobody eats it."),
        ("sugar", "sugar", _MOST_SUGAR, "Flat breads take 0 to 5 %."),
        ("fat", "fat", _MOST_FAT, "An oily focaccia takes 6 to 8 % in the dough."),
    )
    for field_, kind, most, usual in bounds:
        if percent_of_kind(formula, kind) > most:
            yield Problem(
                field_, f"{percent_of_kind(formula, kind):.4g} % {kind} is outside the range of a dough.", usual
            )
    if formula.yeast_percent == 0:
        yield Problem("yeast_percent", "There is no yeast: it would not rise.", "0.1 % of instant yeast takes a day.")
    elif formula.instant_percent > _MOST_INSTANT:
        yield Problem(
            "yeast_percent",
            f"{formula.yeast_percent:.4g} % {formula.yeast_kind} yeast is too much.",
            "Even a one-hour dough takes no more than 2 % instant, 5 % fresh.",
        )


def _preferment_problems(formula: Formula) -> Iterable[Problem]:
    pre = formula.preferment
    if pre is None:
        return
    if pre.key in {"dough", *RESERVED_KEYS, *(i.key for i in formula.ingredients)}:
        yield Problem("preferment", f"{pre.name}: the key {pre.key} is taken.", "Give it another.")
    numbers = (pre.flour_percent, pre.hydration_percent, pre.yeast_percent)
    if not all(math.isfinite(n) and n >= 0 for n in numbers) or pre.flour_percent == 0:
        yield Problem(
            "preferment",
            f"{pre.name}: flour, water and yeast must be numbers, flour above 0.",
            "A poolish takes a third of the flour, its own weight of water, 0.1 % yeast.",
        )
        return
    flours = [i for i in formula.ingredients if i.kind == "flour" and pre.flour_key in ("", i.key)]
    share = pre.flour_percent / 100.0
    waters = [i for i in formula.ingredients if i.kind == "water"]
    for what, needed, there in (
        ("flour", pre.flour_percent, flours[0].percent if flours else 0.0),
        ("water", share * pre.hydration_percent, waters[0].percent if waters else 0.0),
        ("yeast", share * pre.yeast_percent, formula.yeast_percent),
    ):
        if needed > there * (1 + 1e-9):
            yield Problem(
                "preferment",
                f"{pre.name} takes {needed:.4g} % {what}, but the formula has {there:.4g} %.",
                "A preferment takes its part out of the formula: make it smaller.",
            )
