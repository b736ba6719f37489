"""Rounding a list of weights to a scale so that it still adds up."""

from __future__ import annotations

import math
from collections.abc import Sequence


def is_whole(grams: float, step_g: float) -> bool:
    """Does the scale's step make up this weight?"""
    return abs(grams / step_g - math.floor(grams / step_g + 0.5)) < 1e-6


def add_up(exact: Sequence[float], total: float, step: float) -> tuple[float, ...]:
    """Each weight as the scale can show it, together within half a step of `total`.

    Each is rounded to the nearest step; when the sum is then off, the odd steps go where they matter least: to the
    heaviest lines, one each, so that none is off by a whole step. No weight above nothing is rounded to nothing.
    `total` is the sum of `exact`, give or take half a step for each line.
    """
    units = [max(1, math.floor(g / step + 0.5)) if g > 0 else 0 for g in exact]
    missing = math.floor(total / step + 0.5) - sum(units)
    way = 1 if missing > 0 else -1
    # First those that rounding took the other way: moving them leaves each less than a step from its weight.
    may_move = [i for i, count in enumerate(units) if count > 1 or (way > 0 and count)]
    order = sorted(may_move, key=lambda i: (way * (units[i] - exact[i] / step) > -1e-9, -exact[i]))
    for i in order[: abs(missing)]:
        units[i] += way
    return tuple(u * step for u in units)
