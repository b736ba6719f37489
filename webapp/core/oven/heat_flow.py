"""Heat flowing through flat layers: one plain explicit step, and the closed forms that explain it.

A column of cells stands for one square metre: each cell holds `heat` J/m2K and passes `link` W/m2K on to the next.
Everything hot in this program (a slab warming, a stone soaking through, dough baking) is such a column.

Sources: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5 (from memory): explicit method 5.10,
semi-infinite solid with surface convection 5.7, contact of two semi-infinite solids 5.7.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4, CODATA 2018
KELVIN = 273.15
STILL_AIR_H = (5.0, 8.0, 10.0)  # W/m2K of still air, in the oven or out of it: slow edge, likely, quick edge


def step(
    temps: list[float], heat: Sequence[float], link: Sequence[float], low_w: float, high_w: float, dt: float
) -> None:
    """Carry the column `dt` seconds on, in place; `low_w`, `high_w` are W/m2 entering at its two ends."""
    flow, last = low_w, len(temps) - 1
    for i in range(last):
        onward = link[i] * (temps[i] - temps[i + 1])
        temps[i] += (flow - onward) * dt / heat[i]
        flow = onward
    temps[last] += (flow + high_w) * dt / heat[last]


def steady_step_s(heat: Sequence[float], link: Sequence[float], low_link: float, high_link: float) -> float:
    """The longest step (s) that keeps the explicit method from swinging, with a margin of 2.

    `low_link`, `high_link`: W/m2K by which the two ends hang on their surroundings.
    """
    sides = [low_link, *link, high_link]
    return 0.5 * min(h / (sides[i] + sides[i + 1]) for i, h in enumerate(heat))


def radiation_h(hot_c: float, cool_c: float, emissivity: float) -> float:
    """Grey radiation between surroundings and a small body as W/m2K: eps sigma (T1^2 + T2^2)(T1 + T2)."""
    a, b = hot_c + KELVIN, cool_c + KELVIN
    return emissivity * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b)


def in_series(*conductances: float) -> float:
    """W/m2K of several resistances one behind the other."""
    return 1.0 / sum(1.0 / c for c in conductances)


def effusivity(k: float, density: float, specific_heat: float) -> float:
    """sqrt(k rho c), W s^0.5/m2K: how much heat a body gives at a touch."""
    return math.sqrt(k * density * specific_heat)


def contact_c(one_c: float, one_effusivity: float, other_c: float, other_effusivity: float) -> float:
    """The temperature at which two thick bodies meet at the first touch; it stays while both are still thick."""
    total = one_effusivity + other_effusivity
    return (one_c * one_effusivity + other_c * other_effusivity) / total


def _scaled_erfc(x: float) -> float:
    """exp(x^2) erfc(x) for x >= 0; past 20 by its asymptotic series, before the product overflows."""
    if x < 20.0:
        return math.exp(x * x) * math.erfc(x)
    y = 1.0 / (2.0 * x * x)
    return (1.0 - y + 3.0 * y * y) / (x * math.sqrt(math.pi))


def face_after(seconds: float, start_c: float, far_c: float, h: float, k: float, diffusivity: float) -> float:
    """Surface temperature of a thick body `seconds` after its face meets surroundings at `far_c` through `h` W/m2K."""
    x = h * math.sqrt(diffusivity * seconds) / k
    return far_c - (far_c - start_c) * _scaled_erfc(x)
