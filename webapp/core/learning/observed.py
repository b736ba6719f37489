"""What one mark of one bake says about this kitchen's rate: ln(rate / model's rate) and how surely.

Each is one normal likelihood of ln(progress seen / progress that the model at vigour 1 had by then):

    glass     x times its first volume              sd hypot(0.12, 0.75 * 0.03 / (x - 1))
    press     hardly, doubled, well over, sinking   1/3, 3/4, 1, past / best of what is best at pressing; sd 0.30
    poke      at once, slowly, stays                0.80, 1.00, 1.25 of what is best at loading; sd 0.25
    verdict   young, right, past                    0.75, 1.00, 1.35 of what is best at loading; sd 0.30

The glass: its dome and its warmth are not quite the dough's, and a line is read to 3 % of the first height. The shares
and their sd are common practice; nobody has measured them. Glass, look and poke are those of the estimate during a bake
(core/now/estimate.py).

A verdict of past or young has a side: a dough that collapsed may have been further past than 1.35, never less ready
than the plan took it for. So it can make a kitchen quicker and never slower; of young the same the other way round.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from webapp.core.errors import PlanError
from webapp.core.kinds import Verdict
from webapp.core.now.estimate import GLASS_SD, LINE_SD, LOOK_OF_BEST, LOOK_SD, POKE_OF_BEST, POKE_SD, height_sd
from webapp.core.ranges import JOURNAL_RANGES
from webapp.core.rise.pace import need

__all__ = [
    "GLASS_SD", "POKE_SD", "POKE_SHARES", "PRESS_SD", "PRESS_SHARES", "SIDES", "VERDICT_SD", "VERDICT_SHARES",
    "Observation", "glass", "glass_sd", "one_each", "seen", "share_of_best", "verdict",
]  # fmt: skip

PRESS_SD, VERDICT_SD = LOOK_SD, 0.30
RISEN_FROM = 1.02  # less than that says nothing yet
MOST_TIMES = JOURNAL_RANGES["glass"]["times"][1]  # no dough stands at more; again in static/js/sheets/glass.js

PRESS_SHARES: Mapping[str, float] = {
    **{word: share for word, share, _ in LOOK_OF_BEST},
    "sinking": 1.35,  # its own mark where the plan is known
}
POKE_SHARES: Mapping[str, float] = {word: share for word, share, _ in POKE_OF_BEST}
VERDICT_SHARES: Mapping[str, float] = {"young": 0.75, "right": 1.00, "past": 1.35}
SIDES: Mapping[str, int] = {
    "young": -1,
    "past": 1,
    **{word: int(side) for word, _, side in (*LOOK_OF_BEST, *POKE_OF_BEST)},
}
NO_SIDE = 0


@dataclass(frozen=True)
class Observation:
    """One thing seen of one bake at instant `at`: `ln_ratio`, give or take `read_sd`.

    `side` 1 when the dough was at least so far, -1 when at most, 0 when about. Marks of the same `bake` share its
    day; "" stands alone.
    """

    at: int
    ln_ratio: float
    read_sd: float = GLASS_SD
    bake: str = ""
    side: int = NO_SIDE


def glass(at: int, times: float, unit_progress: float, bake: str = "", made_sd: float = 0.0) -> Observation:
    """A mark on a straight-sided glass: `times` the first volume when the model at vigour 1 had `unit_progress`.

    A small rise is read less surely than a large one: the same millimetre is more of it. `made_sd` is what the
    weighing of a small sample adds (ln of rate). PlanError for a glass that has not risen yet, or a dough that had no
    time: neither says anything.
    """
    if not RISEN_FROM <= times <= MOST_TIMES:
        raise PlanError.at("times", "glass-says-nothing", times=times)
    return seen(at, need(times - 1.0), unit_progress, math.hypot(glass_sd(times), made_sd), bake)


def glass_sd(times: float) -> float:
    """Sd of ln(progress) of a reading of so many times the first volume."""
    return math.hypot(height_sd(times), LINE_SD / (times - 1.0))


def share_of_best(
    at: int, share: float, best: float, unit_progress: float, read_sd: float, bake: str = "", side: int = NO_SIDE
) -> Observation:
    """The dough was at this share of what is best (progress) when the model at vigour 1 had `unit_progress`."""
    return seen(at, share * best, unit_progress, read_sd, bake, side)


def verdict(at: int, said: Verdict, best: float, unit_progress: float, bake: str = "") -> Observation:
    """How the result was, against what is `best` (progress) when it was loaded."""
    return share_of_best(at, VERDICT_SHARES[said], best, unit_progress, VERDICT_SD, bake, SIDES.get(said, NO_SIDE))


def seen(
    at: int, progress: float, unit_progress: float, read_sd: float, bake: str = "", side: int = NO_SIDE
) -> Observation:
    """It had this progress when the model at vigour 1 had `unit_progress`; PlanError when either is none."""
    if not (0 < progress < math.inf and 0 < unit_progress < math.inf):
        raise PlanError.at("unit_progress", "not-risen")
    return Observation(at, math.log(progress / unit_progress), read_sd, bake, side)


def one_each(observations: Iterable[Observation]) -> tuple[Observation, ...]:
    """One observation of each bake: its marks' mean by their precision, at the instant of the last of them.

    Nearly the arithmetic of the estimate during the bake, without its prior; there readings of one kind share a part of
    their error, which matters for many of them in one evening, and little for one bake among others.
    """
    groups: dict[str, list[Observation]] = {}
    for i, one in enumerate(observations):
        groups.setdefault(one.bake or f"\0{i}", []).append(one)
    return tuple(_together(marks) for marks in groups.values())


def _together(marks: list[Observation]) -> Observation:
    """Their mean. A mark that says only "at least" or "at most" is no news where the others are further on its side
    already; where it is news, the bake says no more than it does: a dough that collapsed was at least so far, whatever
    a glass read."""
    about = [m for m in marks if m.side == NO_SIDE]
    if about:
        known = _mean(about).ln_ratio
        marks = about + [m for m in marks if m.side * (m.ln_ratio - known) > 0]
    sides = {m.side for m in marks} - {NO_SIDE}
    return replace(_mean(marks), side=sides.pop() if len(sides) == 1 else NO_SIDE)


def _mean(marks: list[Observation]) -> Observation:
    """By their precision, of no side."""
    precision = math.fsum(1.0 / (m.read_sd * m.read_sd) for m in marks)
    mean = math.fsum(m.ln_ratio / (m.read_sd * m.read_sd) for m in marks) / precision
    return Observation(max(m.at for m in marks), mean, 1.0 / math.sqrt(precision), marks[0].bake)
