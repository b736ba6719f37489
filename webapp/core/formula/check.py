"""What keeps a formula from being a dough; said in `words/problems/dough.py` so that it can be mended.

Where a dough ends is common practice; the limits here lie far outside the ranges of the trade (salt 1.8 to 3.2 %,
instant yeast to 2 %, water 56 to 107 %), so that an unusual dough passes and an impossible one does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from webapp.core.errors import PlanError, Problem
from webapp.core.formula.ingredients import (
    Formula,
    Ingredient,
    percent_of_kind,
)
from webapp.core.kinds import INGREDIENT_KINDS, KEEPINGS, YEAST_KINDS, IngredientKind, ProblemKind

RESERVED_KEYS = ("yeast", "yeast-water")  # lines that a weigh-out list adds itself

_LEAST_WATER, _MOST_WATER, _MOST_SALT, _MOST_INSTANT, _MOST_SUGAR, _MOST_FAT = 35.0, 130.0, 4.5, 4.0, 30.0, 40.0
_LEAST_LOADING, _MOST_LOADING = 0.05, 3.0  # g on each cm2
_COLDEST_DOUGH_C, _WARMEST_DOUGH_C = 5.0, 35.0


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
            yield Problem(i.key, "no-amount", {"name": i.name, "percent": i.percent})
        if not 0 <= i.water_share <= 1 or not 0 <= i.whole_share <= 1:
            yield Problem(i.key, "no-share", {"name": i.name})
        if i.kind not in INGREDIENT_KINDS:
            yield Problem(i.key, "no-ingredient-kind", {"name": i.name, "typed": i.kind})
        if i.keeping not in KEEPINGS:
            yield Problem(i.key, "no-keeping", {"name": i.name, "typed": i.keeping})
        if keys.count(i.key) > 1 or i.key in RESERVED_KEYS:
            yield Problem(i.key, "key-taken", {"name": i.name, "key": i.key})
    if not math.isfinite(formula.yeast_percent) or formula.yeast_percent < 0:
        yield Problem("yeast_percent", "no-yeast-amount", {"percent": formula.yeast_percent})
    if formula.yeast_kind not in YEAST_KINDS:
        yield Problem("yeast_kind", "no-yeast-kind", {"typed": formula.yeast_kind})
    yield from _style_problems(formula)


def _style_problems(formula: Formula) -> Iterable[Problem]:
    if not _LEAST_LOADING <= formula.loading_low <= formula.loading <= formula.loading_high <= _MOST_LOADING:
        yield Problem("loading", "loading-order", {"least": _LEAST_LOADING, "most": _MOST_LOADING})
    if not 0 < formula.target_increase < formula.past_increase <= 8:
        yield Problem("target_increase", "increase-order")
    if not _COLDEST_DOUGH_C <= formula.wanted_dough_c <= _WARMEST_DOUGH_C:
        yield Problem("wanted_dough_c", "dough-warmth", {"least_c": _COLDEST_DOUGH_C, "most_c": _WARMEST_DOUGH_C})


def _flour_problems(formula: Formula) -> Iterable[Problem]:
    flour = percent_of_kind(formula, "flour")
    if flour == 0:
        yield Problem("flour", "no-flour")
    elif abs(flour - 100.0) > 0.05:
        yield Problem("flour", "flour-sum", {"percent": flour})


def _range_problems(formula: Formula) -> Iterable[Problem]:
    water = hydration_percent(formula)
    if water == 0:
        yield Problem("water", "no-water")
    elif not _LEAST_WATER <= water <= _MOST_WATER:
        yield Problem(
            "water",
            "crumbs" if water < _LEAST_WATER else "batter",
            {"percent": water, "least": _LEAST_WATER, "most": _MOST_WATER},
        )
    bounds: tuple[tuple[IngredientKind, float, ProblemKind], ...] = (
        ("salt", _MOST_SALT, "much-salt"), ("sugar", _MOST_SUGAR, "much-sugar"), ("fat", _MOST_FAT, "much-fat"),
    )  # fmt: skip
    for ingredient, most, problem in bounds:
        if percent_of_kind(formula, ingredient) > most:
            yield Problem(ingredient, problem, {"percent": percent_of_kind(formula, ingredient), "most": most})
    if formula.yeast_percent == 0:
        yield Problem("yeast_percent", "no-yeast")
    elif formula.instant_percent > _MOST_INSTANT:
        yield Problem("yeast_percent", "much-yeast", {"percent": formula.yeast_percent, "yeast": formula.yeast_kind})


def _preferment_problems(formula: Formula) -> Iterable[Problem]:
    pre = formula.preferment
    if pre is None:
        return
    if pre.key in {"dough", *RESERVED_KEYS, *(i.key for i in formula.ingredients)}:
        yield Problem("preferment", "key-taken", {"name": pre.name, "key": pre.key})
    numbers = (pre.flour_percent, pre.hydration_percent, pre.yeast_percent)
    if not all(math.isfinite(n) and n >= 0 for n in numbers) or pre.flour_percent == 0:
        yield Problem("preferment", "preferment-numbers", {"name": pre.name})
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
                "preferment-takes",
                {"name": pre.name, "percent": needed, "what": what, "there_percent": there},
            )
