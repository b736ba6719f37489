"""How quick this kitchen's dough is, from its past bakes: ln(rate / model's rate) of the next one, in closed form.

A bake's number is the kitchen's level, plus what is different that day (`scatter`: another bag of flour, a thermometer
a degree off), plus the reading. Prior and errors are normal, so a level is a mean by precision. Around that:

* The scatter is this kitchen's own: `SCATTER_SD` counts like `SCATTER_BAKES` bakes, the residuals of what was seen are
  added, none for more than `MOST_SD` of its own sd.
* One odd bake is outvoted: weights of a Student t with `T_DEGREES` (the scale of a t found by repeated weighting).
* What was seen counts half after `HALF_LIFE_DAYS`, and the level drifts by `DRIFT_SD` a month: a summer is followed.
* A kitchen can change at once (another flour, another yeast): that it did so before one of the last bakes is weighed
  against that it did not, one bake in `1 / CHANGE` on the face of it. The answer is the mean over these.
* A bake with a side (see `observed.py`) pulls its own way only, softened by its own sd.

None of the figures is measured: `KITCHEN_SD` is the scatter of published times (a factor of 1.3 to 1.4), the rest is
set so that simulated kitchens are covered. `tests/bench/bench_learning.py` prints how often the band holds the truth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from webapp.core.learning.observed import Observation, one_each

KITCHEN_SD = 0.33  # of the levels of all kitchens
SCATTER_SD, SCATTER_BAKES = 0.16, 4.0  # a day's 0.15 and 0.05 of weighing
LEAST_SCATTER = 0.05  # no two doughs are weighed more alike
MOST_SD = 2.5
T_DEGREES = 2.0  # fewer than the usual four: an odd bake counts less, ordinary ones as before
HALF_LIFE_DAYS = 90.0
DRIFT_SD, MONTH_DAYS = 0.05, 30.0
CHANGE, CHANGE_SD = 0.12, 0.30  # how often a kitchen changes between two bakes, and by how much
CHANGES_LOOKED_AT = 12  # bakes back: older ones say little either way
PRIOR = (0.0, math.hypot(KITCHEN_SD, SCATTER_SD))  # mean and sd of ln(rate) of the first bake in any kitchen
STRANGE_LN = 2.5  # further off than this (a factor of 12) it was no dough: not learned from
DAY_S = 86400
_WEIGHINGS, _ROUNDS = 6, 3  # the first settles to the third decimal; each further round lets one odd bake widen all


class Learned(NamedTuple):
    """Of ln(rate / model's rate) of the next bake: `mean` and `sd`; `scatter` is the sd between this kitchen's bakes.

    The 80 % band is exp(mean +- 1.28 sd).
    """

    mean: float
    sd: float
    scatter: float


@dataclass(frozen=True)
class _Level:
    """A kitchen's level after some bakes, and the logarithm of how likely those were."""

    mean: float
    var: float
    ln_likely: float = 0.0


@dataclass(frozen=True)
class _Story:
    """The kitchen as it is now began with bake `since` (0: it never changed)."""

    since: int
    before: _Level
    after: _Level
    weight: float


def posterior(observations: Iterable[Observation], now: int) -> Learned:
    """What the next bake's ln(rate) will be, for `Kitchen.vigour_ln_mean` and `vigour_ln_sd`.

    Marks are taken together by bake first. Observations from after `now` count as fresh ones.
    """
    near = (one for one in one_each(observations) if abs(one.ln_ratio) <= STRANGE_LN)
    bakes = sorted(near, key=lambda one: (one.at, one.bake, one.ln_ratio))
    scatter2 = SCATTER_SD * SCATTER_SD
    stories = _stories(bakes, now, scatter2)
    for _ in range(_ROUNDS if bakes else 0):
        scatter2 = _scatter2(bakes, now, stories, scatter2)
        stories = _stories(bakes, now, scatter2)
    mean = math.fsum(s.weight * s.after.mean for s in stories)
    var = math.fsum(s.weight * (s.after.var + (s.after.mean - mean) ** 2) for s in stories)
    return Learned(mean, math.sqrt(var + scatter2), math.sqrt(scatter2))


def _stories(bakes: Sequence[Observation], now: int, scatter2: float) -> list[_Story]:
    """Every point at which the kitchen may have changed last, weighed by how likely that makes what was seen."""
    anyone = _Level(0.0, KITCHEN_SD * KITCHEN_SD)
    told: list[tuple[int, _Level, _Level, float]] = []
    for since in (0, *range(max(1, len(bakes) - CHANGES_LOOKED_AT), len(bakes))):
        before = _level(bakes[:since], now, anyone, scatter2)
        begin = _Level(before.mean, before.var + CHANGE_SD * CHANGE_SD) if since else anyone
        after = _level(bakes[since:], now, begin, scatter2)
        ln_prior = math.log(CHANGE if since else 1.0 - CHANGE)
        told.append((since, before, after, before.ln_likely * (since > 0) + after.ln_likely + ln_prior))
    top = max(ln for *_, ln in told)
    total = math.fsum(math.exp(ln - top) for *_, ln in told)
    return [_Story(since, before, after, math.exp(ln - top) / total) for since, before, after, ln in told]


def _level(bakes: Sequence[Observation], now: int, begin: _Level, scatter2: float) -> _Level:
    """The level after these bakes, from where it was thought to be: a mean by precision, weighed again and again."""
    mean, var = begin.mean, begin.var
    for _ in range(_WEIGHINGS if bakes else 0):
        precision, total = 1.0 / begin.var, begin.mean / begin.var
        for bake in bakes:
            value, weight = _pull(bake, mean, scatter2, now)
            precision += weight
            total += weight * value
        mean, var = total / precision, 1.0 / precision
    off = mean - begin.mean
    ln_likely = 0.5 * (math.log(var / begin.var) - off * off / begin.var)
    return _Level(mean, var, ln_likely + math.fsum(_ln_likely(bake, mean, scatter2, now) for bake in bakes))


def _pull(bake: Observation, mean: float, scatter2: float, now: int) -> tuple[float, float]:
    """Where this bake pulls a level thought to be at `mean`, and with what weight."""
    var = scatter2 + bake.read_sd * bake.read_sd
    off = (bake.ln_ratio - mean) / math.sqrt(var)
    value, share = (bake.ln_ratio, 1.0) if bake.side == 0 else _one_sided(bake, mean, off, math.sqrt(var))
    believed = (T_DEGREES + 1.0) / (T_DEGREES + _active(bake, off) ** 2)
    days = _age_days(bake, now)
    return value, share / (var / (believed * _freshness(days)) + DRIFT_SD * DRIFT_SD * days / MONTH_DAYS)


def _one_sided(bake: Observation, mean: float, off: float, sd: float) -> tuple[float, float]:
    """The pull of a bake that may have been further on its side: E[max(0, off + noise)] in place of off.

    Far off on its own side that is the plain pull; far off on the other side it is none.
    """
    ahead = bake.side * off
    share = 0.5 * math.erfc(-ahead / math.sqrt(2.0))
    if share < 1e-9:
        return mean, 0.0
    density = math.exp(-0.5 * ahead * ahead) / math.sqrt(2.0 * math.pi)
    return mean + bake.side * sd * (ahead + density / share), share


def _active(bake: Observation, off: float) -> float:
    """How far off (in its sd) this bake is, on a side that counts."""
    return off if bake.side == 0 else max(0.0, bake.side * off)


def _ln_likely(bake: Observation, mean: float, scatter2: float, now: int) -> float:
    """Student's t, but for what all of them share; an old bake says less."""
    var = scatter2 + bake.read_sd * bake.read_sd
    off = _active(bake, (bake.ln_ratio - mean) / math.sqrt(var))
    ln_t = -0.5 * math.log(var) - 0.5 * (T_DEGREES + 1.0) * math.log1p(off * off / T_DEGREES) + _LN_T
    return ln_t * _freshness(_age_days(bake, now))


_LN_T = math.lgamma(0.5 * (T_DEGREES + 1.0)) - math.lgamma(0.5 * T_DEGREES) - 0.5 * math.log(T_DEGREES * math.pi)


def _scatter2(bakes: Sequence[Observation], now: int, stories: Sequence[_Story], scatter2: float) -> float:
    """The variance between bakes: the prior's bakes and what each of these was off by on its day, as far as that can be
    told from its reading (the expectation step of Dempster, Laird, Rubin 1977): a vague reading says nothing of it."""
    total, count = SCATTER_BAKES * SCATTER_SD * SCATTER_SD, SCATTER_BAKES
    for story in stories:
        for i, bake in enumerate(bakes):
            level = story.after if i >= story.since else story.before
            var = scatter2 + bake.read_sd * bake.read_sd
            off = (bake.ln_ratio - level.mean) / math.sqrt(var)
            if bake.side * off < 0:
                continue  # further on its side than it could say: no residual
            weight = story.weight * _freshness(_age_days(bake, now))
            capped = min(abs(off), MOST_SD) * math.sqrt(var)
            told = scatter2 / var
            total += weight * (told * told * (capped * capped + level.var) + told * bake.read_sd * bake.read_sd)
            count += weight
    return max(LEAST_SCATTER * LEAST_SCATTER, total / count)


def _age_days(bake: Observation, now: int) -> float:
    return max(0.0, (now - bake.at) / DAY_S)


def _freshness(days: float) -> float:
    return math.pow(0.5, days / HALF_LIFE_DAYS)


def band_percent(sd: float) -> float:
    """Half the 80 % band as a percent, for a sentence: 0.36 is +-59 %, 0.12 about +-17 %."""
    return 100.0 * math.expm1(1.2815515655 * sd)
