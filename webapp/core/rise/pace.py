"""What sets a dough's pace besides its temperature, and what a rise asks of it.

    pace = (Y / 0.5)^N / T_REF * exp(-KS S) * exp(-KG max(0, G - 5)) * stiffness * factor * vigour
    risen by E when P = E^M

Y instant yeast, S salt, G sugar, all percent of flour. T_REF, N, M: fitted to 31 published formulas with their stated
times (bootstrap 5-95 %: N 0.49-0.71, M 0.26-1.15). That N is well below 1 is no accident: little yeast multiplies in
a long ferment. KS was fixed beforehand (the formulas cannot tell 0.06 from 0.12), KG is a guess beyond 5 % sugar.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from webapp.core.rise.response import response

T_REF_S = 2.4 * 3600  # 0.5 % instant yeast, no salt, 24 C, doubling
N, M = 0.60, 0.75
SOFT_WATER = 56.0  # percent of flour, from which on a dough is not stiff
KS, KG, SUGAR_FREE = 0.12, 0.06, 5.0  # per percent salt; per percent sugar above 5 %


@dataclass(frozen=True)
class DoughMake:
    """What sets a dough's pace besides its temperature; percent of flour."""

    instant_percent: float
    salt_percent: float = 2.0
    sugar_percent: float = 0.0
    oil_percent: float = 0.0
    hydration_percent: float = 65.0
    vigour: float = 1.0  # this kitchen's, exp of its learned ln(vigour)
    factor: float = 1.0  # flour's own pace: whole grain 1.1-1.25 (common practice)


def pace_per_s(make: DoughMake) -> float:
    """Progress per second of this dough at 24 C."""
    return math.pow(make.instant_percent / 0.5, N) * pace_with_half_percent(make)


def pace_with_half_percent(make: DoughMake) -> float:
    """The same if it had 0.5 % of instant yeast, whatever it has."""
    slowed = KS * make.salt_percent + KG * max(0.0, make.sugar_percent - SUGAR_FREE)
    return math.exp(-slowed) * stiffness(make.hydration_percent) * make.factor * make.vigour / T_REF_S


def stiffness(hydration: float) -> float:
    """Factor for a stiff dough: 1 from 56 % water up, 0.25 at 44 % and below, between them by equal ratios.

    No effect of water shows in the published doughs from 56 to 107 %; a barely mixed biga of 44 % works about four
    times slower (one data point, common practice says 16 h at 18 C). Between the two nothing is known.
    """
    if hydration >= SOFT_WATER:
        return 1.0
    return math.pow(0.25, min(1.0, (SOFT_WATER - hydration) / 12.0))


def rate_per_s(make: DoughMake, temp_c: float) -> float:
    """Progress per second at this dough temperature."""
    return pace_per_s(make) * response(temp_c)


def need(increase: float) -> float:
    """Progress at which the dough has risen by this volume increase: E ** M."""
    return math.pow(increase, M)


def increase_for(progress: float) -> float:
    """Volume increase at this progress, the inverse of `need`; 0 before mixing ends."""
    return math.pow(max(0.0, progress), 1.0 / M)
