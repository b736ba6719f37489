"""Shapes, floor area, dough loading: how much dough goes into what.

A loading (g of dough per cm2 of floor) is a property of the style; the styles' ranges are in `tables/formulas.toml`
with the formula. Common sizes are in `tables/pans.toml`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from webapp.core.errors import PlanError
from webapp.core.kinds import PAN_SHAPES, PanShape
from webapp.core.plan import Pan

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


def pan(
    key: str,
    name: str,
    shape: PanShape,
    length_cm: float,
    width_cm: float = 0.0,
    count: int = 1,
    corner_radius_cm: float = 0.0,
    water_g: float = 0.0,
) -> Pan:
    """A pan with its floor worked out. `length_cm` is the diameter of a round one; "measured" uses `water_g` only.

    PlanError for an unknown shape, a missing or absurd size, or no pans at all.
    """
    if shape not in PAN_SHAPES:
        raise PlanError.at("pan", f"“{shape}” is not a shape known here.", f"Choose one of {', '.join(PAN_SHAPES)}.")
    width = length_cm if shape == "round" else width_cm
    area = {
        "rectangle": lambda: rectangle_cm2(length_cm, width, corner_radius_cm),
        "round": lambda: round_cm2(length_cm),
        "oval": lambda: oval_cm2(length_cm, width),
        "measured": lambda: measured_cm2(water_g),
    }[shape]()
    if not 10 <= area <= 20_000 or min(length_cm, width) < 0:
        raise PlanError.at("pan", f"A floor of {area:.4g} cm2 is no pan.", "Measure the floor inside, in cm.")
    if count < 1:
        raise PlanError.at("count", "There must be at least one pan.", "Give 1 or more.")
    return Pan(key, name, shape, area, count, length_cm, width)


def area_cm2(pans: Iterable[Pan]) -> float:
    """Floor of all pans together, cm2."""
    return math.fsum(p.area_cm2 * p.count for p in pans)


def dough_g(pans: Iterable[Pan], loading: float, loss_percent: float = 0.0) -> float:
    """Dough to make, g: floor x loading (g/cm2), and more for what sticks to bowl and hands (% of the dough).

    PlanError when the loading or the loss is out of any range.
    """
    if not 0.05 <= loading <= 3.0:
        raise PlanError.at("loading", f"A loading of {loading:.4g} g/cm2 is none.", "0.35 is thin, 0.75 deep.")
    if not 0.0 <= loss_percent <= 20.0:
        raise PlanError.at("loss_percent", f"A loss of {loss_percent:.4g} % is none.", "0 to 3 % is usual.")
    return area_cm2(pans) * loading / (1.0 - loss_percent / 100.0)
