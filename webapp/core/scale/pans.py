"""Shapes, their floor and wall, dough loading: how much dough goes into what.

A loading (g of dough per cm2 of floor) is a property of the style; the styles' ranges are in `tables/formulas.toml`
with the formula. Common sizes are in `tables/pans.toml`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.kinds import PanMeasure, PanShape
from webapp.core.plan.tray import Pan
from webapp.core.ranges import typed

MOST_LOSS_PERCENT = typed("Wish", "loss_percent")[1]  # of a dough that stay in the bowl
WATER_G_PER_CM2 = 1.0  # a pan filled 1 cm deep holds one gram of water per cm2 (0.998 g/ml at 20 C)


def rectangle_cm2(length_cm: float, width_cm: float, corner_radius_cm: float = 0.0) -> float:
    """Floor of a rectangle, cm2; rounded corners take (4 - pi) r2 away. The radius is at most half the short side."""
    r = min(corner_radius_cm, length_cm / 2.0, width_cm / 2.0)
    return length_cm * width_cm - (4.0 - math.pi) * r * r


def round_cm2(diameter_cm: float) -> float:
    """Floor of a round pan, cm2."""
    return math.pi * diameter_cm * diameter_cm / 4.0


def oval_cm2(length_cm: float, width_cm: float) -> float:
    """Floor of an oval (ellipse), cm2."""
    return math.pi * length_cm * width_cm / 4.0


def measured_cm2(water_g: float, depth_cm: float = 1.0) -> float:
    """Floor of any shape, cm2: fill it with water this deep and weigh the water; at 1 cm grams are cm2."""
    return water_g * WATER_G_PER_CM2 / depth_cm


def rectangle_wall_cm(length_cm: float, width_cm: float) -> float:
    """The way once round a rectangle, cm."""
    return 2.0 * (length_cm + width_cm)


def oval_wall_cm(length_cm: float, width_cm: float) -> float:
    """The way once round an oval, cm: Ramanujan's first approximation for an ellipse."""
    a, b = length_cm, width_cm
    return math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b))) / 2


def least_wall_cm(area_cm2: float) -> float:
    """The way once round a circle with that floor, cm: no shape has less wall."""
    return 2.0 * math.sqrt(math.pi * area_cm2)


@dataclass(frozen=True)
class Shape:
    """What there is to know of one shape of pan. `measures`: what is measured of it, in the order in which it is typed
    and in which the two functions take it. `wall_cm` is None where only the floor is known, or where it is a circle."""

    measures: tuple[PanMeasure, ...]
    floor_cm2: Callable[..., float]
    wall_cm: Callable[..., float] | None


# All that reads a shape (forms, command line, toppings' rim) asks this table; its words are in words/kinds/pans.py.
SHAPES: dict[PanShape, Shape] = {
    "rectangle": Shape(("length", "width"), rectangle_cm2, rectangle_wall_cm),
    "round": Shape(("length",), round_cm2, None),
    "oval": Shape(("length", "width"), oval_cm2, oval_wall_cm),
    "measured": Shape(("water_g",), measured_cm2, None),
}


def pan(
    key: str,
    name: str,
    shape: PanShape,
    length_cm: float,
    width_cm: float = 0.0,
    count: int = 1,
    water_g: float = 0.0,
) -> Pan:
    """A pan with its floor worked out. `length_cm` is the diameter of a round one; "measured" uses `water_g` only.

    PlanError for an unknown shape, a missing or absurd size, or no pans at all.
    """
    if shape not in SHAPES:
        raise PlanError.at("pan", "no-shape", typed=shape)
    facts = SHAPES[shape]
    width = length_cm if facts.measures == ("length",) else width_cm
    typed = {"length": length_cm, "width": width_cm, "water_g": water_g}
    area = facts.floor_cm2(*(typed[measure] for measure in facts.measures))
    if not 10 <= area <= 20_000 or min(length_cm, width) < 0:
        raise PlanError.at("pan", "no-floor", area_cm2=area)
    if count < 1:
        raise PlanError.at("count", "no-pan")
    return Pan(key, name, shape, area, count, length_cm, width)


def measures_of(one: Pan) -> tuple[float, ...]:
    """What was measured of a pan, in the order of its shape's `measures`."""
    known = {"length": one.length_cm, "width": one.width_cm, "water_g": one.area_cm2 / WATER_G_PER_CM2}
    return tuple(known[measure] for measure in SHAPES[one.shape].measures)


def wall_cm(pans: Iterable[Pan]) -> float:
    """The length of wall (cm) of all these pans; one of which only the floor is known counts as round."""
    return math.fsum(_wall_cm(one) * one.count for one in pans)


def _wall_cm(one: Pan) -> float:
    wall, measures = SHAPES[one.shape].wall_cm, measures_of(one)
    return wall(*measures) if wall is not None and min(measures) > 0 else least_wall_cm(one.area_cm2)


def area_cm2(pans: Iterable[Pan]) -> float:
    """Floor of all pans together, cm2."""
    return math.fsum(p.area_cm2 * p.count for p in pans)


def dough_g(pans: Iterable[Pan], loading: float, loss_percent: float = 0.0) -> float:
    """Dough to make, g: floor x loading (g/cm2), and more for what sticks to bowl and hands (% of the dough).

    PlanError when the loading or the loss is out of any range.
    """
    if not 0.05 <= loading <= 3.0:
        raise PlanError.at("loading", "no-loading", loading=loading)
    if not 0.0 <= loss_percent <= MOST_LOSS_PERCENT:
        raise PlanError.at("loss_percent", "no-loss", percent=loss_percent)
    return area_cm2(pans) * loading / (1.0 - loss_percent / 100.0)
