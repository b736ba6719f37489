"""Measuring spoons: a hint beside the scale, and the last way to dose a little yeast."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

SMALLEST_SPOON = Fraction(1, 8)  # teaspoon; the smallest in most sets (common practice)
TSP_PER_TBSP = 3


@dataclass(frozen=True)
class Measure:
    """What a level teaspoon of something holds, g, and how far filling and grain take it off (+- percent)."""

    key: str
    name: str
    g_per_tsp: float
    spread_percent: float
    source: str = ""


@dataclass(frozen=True)
class Spoons:
    """An amount in level spoons: what they hold by the table, and how far that is from what was wanted."""

    teaspoons: Fraction
    grams: float


def in_spoons(grams: float, measure: Measure) -> Spoons:
    """The nearest amount in level spoons: eighths of a teaspoon up to one, quarters up to a tablespoon, halves above.

    Never nothing: the least is an eighth of a teaspoon.
    """
    exact = grams / measure.g_per_tsp
    step = SMALLEST_SPOON if exact < 1 else Fraction(1, 4) if exact < TSP_PER_TBSP else Fraction(1, 2)
    count = max(SMALLEST_SPOON, step * int(exact / step + Fraction(1, 2)))
    return Spoons(count, float(count) * measure.g_per_tsp)
