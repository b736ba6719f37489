"""Temperature, yeast, salt and sugar to the rate of rise; how long for this yeast, how much yeast for this time.

    dP/dt = response(T) / T_REF * (Y / 0.5)^N * exp(-KS S) * exp(-KG max(0, G - 5)) * stiffness * factor * vigour
    risen by E when P = E^M

Y instant yeast, S salt, G sugar, all percent of flour; T dough temperature along its path. `response` is the cardinal
temperature model of Rosso, Lobry and Flandrois 1993 (J Theor Biol 162:447-463) normalised to 24 C, with T_OPT and
T_MAX of S. cerevisiae from Salvadó et al. 2011 (doi 10.1128/AEM.01861-10) and an effective T_MIN for gas.

T_REF, N, M and T_MIN were fitted to 31 published formulas with their stated times, half of them in
`tests/oracles/published_doughs.csv`; see `tests/bench/report_model.py` for the error on each and by leave-one-out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from webapp.core.formula_check import hydration_percent
from webapp.core.ingredients import Formula, percent_of_kind
from webapp.core.plan import GlassMark, RateTable, RiseMark

T_MIN, T_OPT, T_MAX = -1.5, 32.3, 45.4
REFERENCE_C = 24.0
T_REF_S = 2.4 * 3600  # 0.5 % instant yeast, no salt, 24 C, doubling
N, M = 0.60, 0.75
KS, KG, SUGAR_FREE = 0.12, 0.06, 5.0  # per percent salt; per percent sugar above 5 %

EARLY_SHARE = 0.75  # of the need: early but usable
PROOF_LEAST, PROOF_BEST, PROOF_MOST = 0.10, 0.20, 0.45  # further shares of the same need, in the tray

TABLE_FIRST_C, TABLE_LAST_C, TABLE_STEP_C = -2.0, 46.0, 0.5


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


def _cardinal_terms() -> tuple[float, float, float]:
    """Denominator of the cardinal model as D (A T + B)."""
    d = T_OPT - T_MIN
    a = (T_OPT - T_MIN) + 2.0 * (T_OPT - T_MAX)
    b = -T_OPT * (T_OPT - T_MIN) - (T_OPT - T_MAX) * (T_OPT + T_MIN)
    return d, a, b


_D, _A, _B = _cardinal_terms()


def _cardinal(temp_c: float) -> float:
    return (temp_c - T_MAX) * (temp_c - T_MIN) ** 2 / (_D * (_A * temp_c + _B))


_AT_REFERENCE = _cardinal(REFERENCE_C)


def response(temp_c: float) -> float:
    """Rate at this dough temperature relative to 24 C: 0 at and outside -1.5 and 45.4 C, 1 at 24 C.

    Rosso et al. 1993; check values in tests/core/test_fermentation.py.
    """
    if not T_MIN < temp_c < T_MAX:
        return 0.0
    return _cardinal(temp_c) / _AT_REFERENCE


def pace_per_s(make: DoughMake) -> float:
    """Progress per second of this dough at 24 C."""
    sugar = math.exp(-KG * max(0.0, make.sugar_percent - SUGAR_FREE))
    solutes = math.exp(-KS * make.salt_percent) * sugar * stiffness(make.hydration_percent)
    return (make.instant_percent / 0.5) ** N * solutes * make.factor * make.vigour / T_REF_S


def stiffness(hydration: float) -> float:
    """Factor for a stiff dough: 1 from 56 % water up, 0.25 at 44 % and below, between them by equal ratios.

    No effect of water shows in the published doughs from 56 to 107 %; a barely mixed biga of 44 % works about four
    times slower (one data point, common practice says 16 h at 18 C). Between the two nothing is known.
    """
    share = min(1.0, max(0.0, (56.0 - hydration) / 12.0))
    return math.exp(share * math.log(0.25))


def rate_per_s(make: DoughMake, temp_c: float) -> float:
    """Progress per second at this dough temperature."""
    return pace_per_s(make) * response(temp_c)


def need(increase: float) -> float:
    """Progress at which the dough has risen by this volume increase: E ** M."""
    return increase**M


def increase_for(progress: float) -> float:
    """Volume increase at this progress, the inverse of `need`; 0 before mixing ends."""
    return max(0.0, progress) ** (1.0 / M)


def rate_table(make: DoughMake) -> RateTable:
    """The plan's own copy of the model: progress per second from -2 to 46 C by half degrees.

    Linear interpolation between entries is within 0.5 % of the model from 4 C up.
    """
    steps = round((TABLE_LAST_C - TABLE_FIRST_C) / TABLE_STEP_C)
    pace = pace_per_s(make)
    rates = tuple(pace * response(TABLE_FIRST_C + i * TABLE_STEP_C) for i in range(steps + 1))
    return RateTable(TABLE_FIRST_C, TABLE_STEP_C, rates)


def yeast_for(progress: float, response_seconds: float, make: DoughMake) -> float:
    """Instant yeast, percent of flour, for this progress over this many seconds at 24 C; infinite for no time.

    `make.instant_percent` is ignored. The inverse of progress = pace x response_seconds.
    """
    if response_seconds <= 0:
        return math.inf
    one = pace_per_s(DoughMake(0.5, make.salt_percent, make.sugar_percent, make.oil_percent, make.hydration_percent,
                               make.vigour, make.factor))
    return 0.5 * float((progress / (response_seconds * one)) ** (1.0 / N))


def make_of(formula: Formula, vigour: float = 1.0) -> DoughMake:
    """The pace-setting numbers of a formula; whole grain counts as up to 17.5 % quicker (common practice: 10-25 %)."""
    whole = sum(i.percent * i.whole_share for i in formula.ingredients if i.kind == "flour") / 100.0
    return DoughMake(
        formula.instant_percent, percent_of_kind(formula, "salt"), percent_of_kind(formula, "sugar"),
        percent_of_kind(formula, "fat"), hydration_percent(formula), vigour, 1.0 + 0.175 * whole,
    )  # fmt: skip


def marks(formula: Formula) -> tuple[RiseMark, RiseMark]:
    """Early, best and past at pressing and at loading.

    Pressing: best is the need of the target rise, early three quarters of it, past the need of the flour's past rise
    but never under 1.15 of best. Loading: the proof in the tray adds a further share of the same need.
    """
    best = need(formula.target_increase)
    past = max(need(formula.past_increase), 1.15 * best)
    press = RiseMark(EARLY_SHARE * best, best, past)
    load = RiseMark(
        press.early + PROOF_LEAST * best, best * (1.0 + PROOF_BEST), past + PROOF_MOST * best
    )
    return press, load


def glass_marks(times: tuple[float, ...] = (1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0, 3.5, 4.0)) -> tuple[GlassMark, ...]:
    """What a straight-sided glass shows (times its first volume) and the progress it means."""
    return tuple(GlassMark(t, need(t - 1.0)) for t in times)
