"""Measuring spoons: a hint beside the scale, and the last way to dose a little yeast."""

from __future__ import annotations

import math
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
    """The nearest amount in level spoons."""
    count = level(grams / measure.g_per_tsp)
    return Spoons(count, float(count) * measure.g_per_tsp)


def level(teaspoons: float) -> Fraction:
    """The nearest that a set of spoons measures: eighths of a teaspoon up to one, quarters up to a tablespoon, halves
    above. Never nothing: the least is an eighth of a teaspoon. As `eighthsOf` in static/js/step/dose.js.
    """
    step = 1 if teaspoons < 1 else 2 if teaspoons < TSP_PER_TBSP else 4
    return max(1, math.floor(teaspoons * 8 / step + 0.5) * step) * SMALLEST_SPOON
