"""How sure a predicted rise is, and where the model is outside its range.

Published times scatter about the best model by a factor of 1.3 to 1.4, sd(ln rate) 0.26 to 0.34; a kitchen not learned
yet is given 0.35. Away from the middle of the data (0.5 % yeast, doubling, 24 C) the model's own parameters add to
that: the bootstrap 5-95 % ranges of the fit (yeast exponent 0.49-0.71, rise exponent 0.26-1.15, effective minimum
-2.5 to +3.3 C), each divided by 2 x 1.645. `tests/bench/report_model.py` counts how many published doughs the band
covers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from webapp.core.plan.rise import Beyond
from webapp.core.rise.pace import SOFT_WATER, DoughMake, stiffness
from webapp.core.rise.response import REFERENCE_C, T_MIN, Leg, temp_after

Z80 = 1.2815515655  # 10 % of a normal distribution lies beyond this on either side
UNLEARNED_SD = 0.35
N_SD, M_SD, T_MIN_SD = 0.067, 0.27, 1.76
COLDEST_FOR_BAND_C = 2.0  # nearer to the effective minimum its uncertainty has no bound


def band_sd(make: DoughMake, increase: float, mean_c: float, kitchen_sd: float = UNLEARNED_SD) -> float:
    """Standard deviation of ln(rate); the 80 % band is exp(+-1.28 sd). `mean_c` is the dough's mean temperature.

    What a kitchen was taught by its own bakes it was taught with doughs like this one, so the model's own doubts
    count less in the proportion in which the kitchen is known better (an estimate, not a fit).
    """
    unknown = min(1.0, kitchen_sd / UNLEARNED_SD)
    yeast = N_SD * math.log(make.instant_percent / 0.5)
    rise = M_SD * math.log(increase)
    # The response goes as (T - T_MIN)^2 in the cold, so d ln(response) / d T_MIN = -2 / (T - T_MIN), less the same
    # at 24 C, where the response is 1 whatever T_MIN is.
    above = min(REFERENCE_C, max(COLDEST_FOR_BAND_C, mean_c)) - T_MIN
    cold = T_MIN_SD * 2.0 * (1.0 / above - 1.0 / (REFERENCE_C - T_MIN))
    return math.hypot(kitchen_sd, unknown * yeast, unknown * rise, unknown * cold)


def mean_temp(dough_c: float, legs: Sequence[Leg]) -> float:
    """Mean dough temperature, C, over closed legs (Newton cooling, in closed form); at once, the first one's."""
    total, weighted, temp = 0.0, 0.0, dough_c
    for leg in legs:
        seconds = leg.seconds or 0.0
        gap = temp - leg.ambient_c
        weighted += leg.ambient_c * seconds - gap * leg.tau_s * math.expm1(-seconds / leg.tau_s)
        total += seconds
        temp = temp_after(temp, leg, seconds)
    return weighted / total if total > 0 else dough_c


COLDEST_C, WARMEST_C = 0.0, 35.0
LEAST_YEAST, MOST_YEAST = 0.05, 2.0
MOST_SUGAR, MOST_FAT, MOST_SALT = 8.0, 10.0, 3.5
LEAST_WATER, MOST_WATER = SOFT_WATER, 115.0  # below the first a correction is at work that one dough supports


def outside_range(make: DoughMake, dough_c: float, legs: Iterable[Leg] = ()) -> tuple[Beyond, ...]:
    """Each number outside what the model was fitted on; empty inside.

    The answer is still given, by the same formula: beyond the range it is a guess in the right direction, which a
    value held at the edge would not be.
    """
    temps = _temperatures(dough_c, legs)
    cold, warm, yeast, water = min(temps), max(temps), make.instant_percent, make.hydration_percent
    rows = (
        (cold < COLDEST_C, Beyond("cold", cold)),
        (warm > WARMEST_C, Beyond("hot", warm)),
        (yeast < LEAST_YEAST * (1 - 1e-9), Beyond("little-yeast")),
        (yeast > MOST_YEAST * (1 + 1e-9), Beyond("much-yeast")),
        (make.sugar_percent > MOST_SUGAR, Beyond("sugar")),
        (make.oil_percent > MOST_FAT, Beyond("fat")),
        (make.salt_percent > MOST_SALT, Beyond("salt")),
        (water < LEAST_WATER, Beyond("stiff", percent=water, slower=1.0 / stiffness(water))),
        (water > MOST_WATER, Beyond("batter")),
    )
    return tuple(beyond for outside, beyond in rows if outside)


def _temperatures(dough_c: float, legs: Iterable[Leg]) -> list[float]:
    temps = [dough_c]
    for leg in legs:
        seconds = leg.seconds or 0.0
        temps.append(temp_after(temps[-1], leg, seconds) if math.isfinite(seconds) else leg.ambient_c)
    return temps
