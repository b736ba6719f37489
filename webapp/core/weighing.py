"""Rounding to a scale that still adds up; dosing tiny yeast; mending an over-pour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from webapp.core.formula import Formula
from webapp.core.kitchen import Kitchen
from webapp.core.plan import WeighLine


@dataclass(frozen=True)
class Dosing:
    """How to weigh this little yeast: the full sentence, which way ("scale", "micro", "yeast-water", "spoon"), its error.

    `error_percent` is the most the dose can be off by the reading of the scale or the filling of the spoon.
    """

    text: str
    kind: str
    error_percent: float


def weigh_out(formula: Formula, dough_g: float, kitchen: Kitchen, water_c: float | None = None) -> tuple[WeighLine, ...]:
    """The weigh-out list in pouring order, preferment first; `weigh_g` rounded to this kitchen's scales."""
    raise NotImplementedError


def dosing(yeast_g: float, kitchen: Kitchen, yeast_kind: str = "instant", water_g: float = 0.0) -> Dosing:
    """The best way to dose this much yeast with what the kitchen owns."""
    raise NotImplementedError


def mend(lines: Sequence[WeighLine], line_id: str, poured_g: float, kitchen: Kitchen) -> tuple[WeighLine, ...]:
    """The list after `poured_g` of line "part/key" went in: nothing is taken out, all else rises in proportion."""
    raise NotImplementedError
