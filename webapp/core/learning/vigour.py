"""What past bakes say about this kitchen's yeast and warmth: one number, ln(vigour), learned in closed form.

A bake's ln(rate / model's rate) is the kitchen's ln(vigour) plus what is different that day (`BAKE_SD`: another bag of
flour, a thermometer a degree off); each mark of that bake adds its reading error. Normal prior, normal errors, so the
posterior is a weighted mean. The marks of one bake share its day, so ten marks of one bake teach less than one mark
each of ten bakes. An observation's weight halves every `HALF_LIFE_DAYS`: yeast ages, seasons turn.

The prior's sd 0.35 is the scatter of published times (factor 1.3-1.4). BAKE_SD and the reading errors are common
practice, set so that two logged bakes shrink the 80 % band to about +-15 %;
`tests/core/learning/test_vigour.py` simulates 200 kitchens and counts how often the band holds the truth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.rise.certainty import UNLEARNED_SD
from webapp.core.rise.pace import M, need

PRIOR = (0.0, UNLEARNED_SD)  # mean and sd of ln(rate) of the next bake in a kitchen not learned yet
BAKE_SD = 0.08
GLASS_SD = 0.12  # ln(progress): the sample in the glass, its dome and its warmth are not quite the dough's
LINE = 0.03  # a line is read to about 3 % of the first height: 1 to 2 mm of 5 cm
READY_SD = 0.14  # "it was ready at": looser, an eye's judgement
HALF_LIFE_DAYS = 90.0
STRANGE_LN = 1.5  # further off than this (a factor of 4.5) something else was wrong: not learned from


@dataclass(frozen=True)
class Observation:
    """One thing seen of one bake: at instant `at`, ln(progress seen / progress the model had by then at vigour 1)."""

    at: int
    ln_ratio: float
    read_sd: float = GLASS_SD
    bake: str = ""  # marks of the same bake share its day; "" stands alone


def glass(at: int, times: float, unit_progress: float, bake: str = "") -> Observation:
    """A mark on a straight-sided glass: `times` the first volume when the model at vigour 1 had `unit_progress`.

    A small rise is read less surely than a large one: the same millimetre is more of it. PlanError for a glass that
    has not risen yet, or a dough that had no time: neither says anything.
    """
    if not 1.02 <= times <= 8.0:
        raise PlanError.at("times", f"{times:.4g} times the first volume says nothing.", "Read it once it has risen.")
    return ready(at, times - 1.0, unit_progress, bake, math.hypot(GLASS_SD, M * LINE / (times - 1.0)))


def ready(at: int, increase: float, unit_progress: float, bake: str = "", read_sd: float = READY_SD) -> Observation:
    """It had risen by `increase` at that instant, when the model at vigour 1 had `unit_progress`."""
    if not (0 < increase < math.inf and 0 < unit_progress < math.inf):
        raise PlanError.at("increase", "A dough that has not begun to rise says nothing.", "Log it when it is ready.")
    return Observation(at, math.log(need(increase) / unit_progress), read_sd, bake)


def posterior(observations: Iterable[Observation], now: int, prior: tuple[float, float] = PRIOR) -> tuple[float, float]:
    """Mean and sd of ln(rate) of the next bake, for `Kitchen.vigour_ln_mean` and `vigour_ln_sd`.

    Closed form: precisions add. The sd counts both what is not yet known of the kitchen and the next bake's own day,
    so that exp(mean +- 1.28 sd) is the 80 % band. Observations from after `now` count as fresh ones.
    """
    mean, sd = prior
    precision = 1.0 / max(sd * sd - BAKE_SD * BAKE_SD, 1e-6)
    total = mean * precision
    for ln_ratio, weight in _bakes(observations, now):
        precision += weight
        total += weight * ln_ratio
    return total / precision, math.sqrt(1.0 / precision + BAKE_SD * BAKE_SD)


def _bakes(observations: Iterable[Observation], now: int) -> Iterable[tuple[float, float]]:
    """Per bake: its marks' mean by their precision, and what that mean weighs today."""
    groups: dict[str, list[Observation]] = {}
    for i, seen in enumerate(observations):
        if abs(seen.ln_ratio) <= STRANGE_LN:
            groups.setdefault(seen.bake or f"\0{i}", []).append(seen)
    for marks in groups.values():
        reading = math.fsum(1.0 / (m.read_sd * m.read_sd) for m in marks)
        mean = math.fsum(m.ln_ratio / (m.read_sd * m.read_sd) for m in marks) / reading
        age_days = max(0.0, (now - max(m.at for m in marks)) / 86400.0)
        yield mean, math.pow(0.5, age_days / HALF_LIFE_DAYS) / (BAKE_SD * BAKE_SD + 1.0 / reading)


def band_percent(sd: float) -> float:
    """Half the 80 % band as a percent, for a sentence: 0.35 is +-57 %, 0.12 about +-17 %."""
    return 100.0 * math.expm1(1.2815515655 * sd)
