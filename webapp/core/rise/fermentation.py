"""How long for this yeast, how much yeast for this time, how warm for both; the curve, its marks and its band.

    dP/dt = pace(yeast, salt, sugar, flour, kitchen) * response(dough temperature)

`pace.py` and `response.py` hold the two factors with their sources, `certainty.py` how sure an answer is and where
the model is outside its range. `tests/bench/report_model.py` prints the error on each published formula and by
leave-one-out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.formula.check import hydration_percent
from webapp.core.formula.formula import whole_share
from webapp.core.formula.ingredients import Formula
from webapp.core.plan.rise import Beyond, GlassMark, RateTable
from webapp.core.plan.steps import RiseMark
from webapp.core.rise.bench_life import PAST_LEAST
from webapp.core.rise.certainty import Z80, band_sd, mean_temp, outside_range
from webapp.core.rise.pace import (
    KG,
    KS,
    T_REF_S,
    DoughMake,
    M,
    N,
    increase_for,
    need,
    pace_per_s,
    pace_with_half_percent,
    rate_per_s,
)
from webapp.core.rise.response import (
    NEVER_AFTER_S,
    T_MAX,
    T_MIN,
    T_OPT,
    Leg,
    along,
    open_length,
    response,
    response_seconds,
    temp_after,
)

__all__ = [
    "KG",
    "KS",
    "T_MAX",
    "T_MIN",
    "T_OPT",
    "T_REF_S",
    "DoughMake",
    "Leg",
    "M",
    "N",
    "RiseResult",
    "along",
    "glass_marks",
    "increase_for",
    "make_of",
    "marks",
    "need",
    "pace_per_s",
    "rate_per_s",
    "rate_table",
    "response",
    "response_seconds",
    "rise",
    "temp_after",
    "temp_for",
    "yeast_for",
    "yeast_for_legs",
]  # fmt: skip

EARLY_SHARE = 0.75  # of the need: early but usable
PROOF_LEAST, PROOF_BEST, PROOF_MOST = 0.10, 0.20, 0.45  # further shares of the same need, in the tray
TRAY_PAST = 0.25  # of the need: so much further than at pressing a dough in the tray is past its best
WHOLE_GRAIN = 0.175  # quicker by this at 100 % whole grain (common practice: 10-25 %)

TABLE_FIRST_C, TABLE_LAST_C, TABLE_STEP_C = -2.0, 46.0, 0.5


@dataclass(frozen=True)
class RiseResult:
    """The open leg's length, s, for the wanted rise at the end of all legs; infinite where it is never reached.

    `early_s` and `late_s` are the edges of the 80 % band (quick and slow dough); `usable_s` and `past_s` the lengths
    at which the most likely dough is early but usable and past its best.
    """

    ready_s: float
    early_s: float
    late_s: float
    usable_s: float
    past_s: float
    band_sd: float
    outside_range: tuple[Beyond, ...]

    @property
    def room_s(self) -> float:
        """How long the most likely dough forgives being late."""
        return self.past_s - self.ready_s if math.isfinite(self.past_s) else math.inf


def rise(
    make: DoughMake,
    dough_c: float,
    legs: Sequence[Leg],
    increase: float,
    past_increase: float = 3.0,
    sd: float | None = None,
) -> RiseResult:
    """How long the one open leg must last for this volume increase, with its band and marks.

    `sd` is the standard deviation of ln(rate); None takes that of an unlearned kitchen. PlanError unless exactly one
    leg is open, or when a number is none.
    """
    _check(make, dough_c, legs, increase, make.instant_percent)
    if sum(leg.seconds is None for leg in legs) != 1:
        raise PlanError.at("stage", "one-open-stage")
    pace, best = pace_per_s(make), need(increase)
    past = max(need(past_increase), PAST_LEAST * best)

    def length(progress: float, quicker: float = 1.0) -> float:
        return open_length(progress / (pace * quicker), dough_c, legs)

    ready = length(best)
    closed = _closed(legs, min(ready, NEVER_AFTER_S))
    spread = band_sd(make, increase, mean_temp(dough_c, closed)) if sd is None else sd
    quick = math.exp(Z80 * spread)
    return RiseResult(
        ready,
        length(best, quick),
        length(best, 1.0 / quick),
        length(EARLY_SHARE * best),
        length(past),
        spread,
        outside_range(make, dough_c, closed),
    )


def _closed(legs: Sequence[Leg], open_s: float) -> tuple[Leg, ...]:
    return tuple(leg if leg.seconds is not None else replace(leg, seconds=open_s) for leg in legs)


def _check(make: DoughMake, dough_c: float, legs: Sequence[Leg], increase: float, yeast: float) -> None:
    fit = 0 < yeast < math.inf and 0 < increase < math.inf and math.isfinite(dough_c)
    for amount in (make.salt_percent, make.sugar_percent, make.oil_percent, make.hydration_percent):
        fit = fit and 0 <= amount < math.inf
    for leg in legs:
        fit = fit and math.isfinite(leg.ambient_c) and 0 < leg.tau_s < math.inf and 0 <= (leg.seconds or 0.0) < math.inf
    if not fit:
        raise PlanError.at("rise", "rise-numbers")


def rate_table(make: DoughMake) -> RateTable:
    """The plan's own copy of the model: progress per second from -2 to 46 C by half degrees.

    Linear interpolation between entries is within 0.7 % of the model from 4 C up.
    """
    steps = round((TABLE_LAST_C - TABLE_FIRST_C) / TABLE_STEP_C)
    rates = tuple(rate_per_s(make, TABLE_FIRST_C + i * TABLE_STEP_C) for i in range(steps + 1))
    return RateTable(TABLE_FIRST_C, TABLE_STEP_C, rates)


def yeast_for(progress: float, response_seconds: float, make: DoughMake) -> float:
    """Instant yeast, percent of flour, for this progress over this many seconds at 24 C; infinite for no time.

    `make.instant_percent` is ignored. The inverse of progress = pace x response_seconds.
    """
    if response_seconds <= 0:
        return math.inf
    return 0.5 * math.pow(progress / (response_seconds * pace_with_half_percent(make)), 1.0 / N)


def yeast_for_legs(make: DoughMake, dough_c: float, legs: Sequence[Leg], increase: float) -> float:
    """Instant yeast, percent of flour, with which the dough has risen this far at the end of these closed legs."""
    _check(make, dough_c, legs, increase, 1.0)
    done, _ = along(dough_c, legs)
    return yeast_for(need(increase), done, make)


def temp_for(make: DoughMake, dough_c: float, seconds: float, tau_s: float, increase: float) -> float | None:
    """The surroundings, C, in which this dough rises this far in this time; None when even the optimum is too slow.

    Between -1.5 and 32.3 C warmer is always sooner, so there is one answer: found by bisection to 0.001 C.
    """
    _check(make, dough_c, [Leg(20.0, seconds, tau_s)], increase, make.instant_percent)
    wanted = need(increase) / pace_per_s(make)
    low, high = T_MIN, T_OPT
    if response_seconds(dough_c, Leg(high, None, tau_s), seconds) < wanted:
        return None
    while high - low > 0.001:
        middle = (low + high) / 2.0
        enough = response_seconds(dough_c, Leg(middle, None, tau_s), seconds) >= wanted
        low, high = (low, middle) if enough else (middle, high)
    return high


def make_of(formula: Formula, vigour: float = 1.0) -> DoughMake:
    """The pace-setting numbers of a formula; whole grain flour is a little quicker."""
    return DoughMake(
        formula.instant_percent, formula.salt_percent, formula.sugar_percent, formula.oil_percent,
        hydration_percent(formula), vigour, 1.0 + WHOLE_GRAIN * whole_share(formula),
    )  # fmt: skip


def proof_shares(pressed: float) -> tuple[float, float, float]:
    """Least, best and most rise in the tray, as a share of that at pressing, of a dough pressed at `pressed` of its
    whole need (0..1): whatever it lacks then is left to the tray, so that it is loaded where any dough is."""
    return PROOF_LEAST, (1.0 + PROOF_BEST) / pressed - 1.0, (1.0 + PROOF_MOST) / pressed - 1.0


def marks(formula: Formula, pressed: float = 1.0) -> tuple[RiseMark, RiseMark]:
    """Early, best and past at pressing and at loading.

    Pressing: best is the need of the target rise, early three quarters of it, past the need of the flour's past rise
    but never under 1.15 of best. In the tray: best a further fifth of the same need, early from a tenth, past a quarter
    of the need beyond past at pressing; sooner where the kitchen is warm or the dough slow (`keeping.marks_in_room`).
    A method that presses its dough sooner (`pressed` of the need, 0..1) has early and best at pressing so much sooner;
    past there, and all of loading, stay where they are.
    """
    best = need(formula.target_increase)
    past = max(need(formula.past_increase), PAST_LEAST * best)
    press = RiseMark(EARLY_SHARE * best * pressed, best * pressed, past, best if pressed < 1.0 else 0.0)
    load = RiseMark((EARLY_SHARE + PROOF_LEAST) * best, best * (1.0 + PROOF_BEST), past + TRAY_PAST * best)
    return press, load


def glass_marks(times: tuple[float, ...] = (1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0, 3.5, 4.0)) -> tuple[GlassMark, ...]:
    """What a straight-sided glass shows (times its first volume) and the progress it means."""
    return tuple(GlassMark(t, need(t - 1.0)) for t in times)
