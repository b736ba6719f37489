"""What makes one day better than another: the one table of weights. Points are whole numbers; fewer is better.

The order of the rows is the order of the design: waits near their best, room to be late, no work on the way out or
just in, few interruptions, and a longer ferment when all else is equal. The size of the points is this project's own
judgement: a wait at the end of its range weighs as much as two hours of missing slack or three extra visits. The
first ten minutes at home belong to the person: they weigh more than any wait and proof, so that they are taken only
where there is no other way.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from webapp.core.kinds import CostKey
from webapp.core.plan.steps import GRID_S


@dataclass(frozen=True)
class Weight:
    """One row: so many `points` for what is said beside it. What it means to the person: `words/plan/offers.py`."""

    key: CostKey
    points: int


WEIGHTS: tuple[Weight, ...] = (
    Weight("wait", 60),  # a wait at its least or most; on a straight line down to 0 at its best
    Weight("proof", 60),  # a rise in the tray at its least or most; 0 at its best
    Weight("slack", 3),  # each 5 min under 2 h that one may come late to the dough, or home late to begin at all
    Weight("early", 1),  # each 5 min under 1 h that the dough is usable sooner
    Weight("unseen", 16),  # each hour out of the fridge with nobody there to look, in a kitchen that is not known
    Weight("leaving", 40),  # a hands-on step that reaches into the last half hour before leaving
    Weight("coming", 150),  # a hands-on step that reaches into the first ten minutes at home
    Weight("visit", 8),  # each visit to the kitchen (a hands-on step more than 15 min after the last)
    Weight("left-out", 14),  # an optional fold left out
    Weight("side-task", 20),  # a task beside the dough at the end of its range; 0 at its best
    Weight("supper", 2),  # each 5 min that supper is early
    Weight("ferment", 1),  # each full hour that the first mixing to the end of the long wait falls short of 24 h
)  # fmt: skip

POINTS = {w.key: w.points for w in WEIGHTS}

# The yeast of a day: least loss over pressing and loading together, each |ln(progress / best)| squared and weighed so.
# What is off by a tenth at pressing is then off by a fiftieth at loading.
PRESS_LOSS, LOAD_LOSS = 1, 4
# And with the ways in mind that the evening will have: what it can still do to a dough (the tray into the fridge; the
# warm spot and half an hour) is worth about as much either way, but a unit of ln that it cannot bring in costs
# PAST_LOSS of a dough that is too quick and YOUNG_LOSS of one too slow (the rows of `now/loss.py`). The least mean of
# such a loss lies at the quantile PAST_LOSS / (PAST_LOSS + YOUNG_LOSS) of all the speeds that a dough may have (Koenker
# and Bassett 1978), so the yeast is meant for that and not for their middle; the better a kitchen is known, the nearer
# the two. For this the likely dough is never pressed or loaded more than MOST_YOUNG (ln) before its best.
PAST_LOSS, YOUNG_LOSS = 1.3, 1.0
WAYS_SHIFT = NormalDist().inv_cdf(PAST_LOSS / (PAST_LOSS + YOUNG_LOSS))  # of the sd of ln(rate)
MOST_YOUNG = 0.045

# A kitchen is not known at all while the sd of ln(rate) is UNKNOWN_SD or more, as before the first bake, and known well
# enough from KNOWN_SD down, as after one bake or one test glass; "unseen" counts in proportion between them.
KNOWN_SD, UNKNOWN_SD = 0.27, 0.35

SLACK_SLOTS = 24  # 2 h on the grid of 5 min
SAME_DAY_SLOTS = 12 * 12  # a supper within 12 h of the first step is late when that is; a later one has room for it
EARLY_SLOTS = 12  # 1 h
FERMENT_HOURS = 24
LEAVING_S = 1800
COMING_S = 600
VISIT_GAP_SLOTS = 3  # a wait longer than this is a new visit


def off_best(value: int, least: int, best: int, most: int, points: int) -> int:
    """Points for `value` in least..most: 0 at best, `points` at either end, on straight lines, whole numbers."""
    if value < best:
        return points * (best - value) // (best - least)
    if value > best:
        return points * (value - best) // (most - best)
    return 0


def slack_points(slack: int, early: int) -> int:
    """Points for so many grid slots of slack and of being usable early."""
    return POINTS["slack"] * max(0, SLACK_SLOTS - slack) + POINTS["early"] * max(0, EARLY_SLOTS - early)


def begun_points(since: int) -> int:
    """Points for beginning so many grid slots after coming home: who is later than that has no supper in time."""
    return POINTS["slack"] * max(0, SLACK_SLOTS - since)


def unknown(ln_sd: float) -> int:
    """How little is known of a kitchen, in thousandths, by the sd of ln(rate): 0 = well enough."""
    return round(1000 * min(1.0, max(0.0, (ln_sd - KNOWN_SD) / (UNKNOWN_SD - KNOWN_SD))))


def unseen_points(slots: int, unknown_share: int) -> int:
    """Points for so many grid slots out of sight in a kitchen so little known (thousandths)."""
    return POINTS["unseen"] * slots * unknown_share // 12_000


def ferment_points(slots: int) -> int:
    """Points for a ferment of so many grid slots."""
    return _FERMENT[slots] if slots < len(_FERMENT) else 0


_FERMENT = tuple(POINTS["ferment"] * (FERMENT_HOURS - slots // 12) for slots in range(FERMENT_HOURS * 12))


def visits(hands: Iterable[tuple[int, int]]) -> int:
    """How often somebody comes into the kitchen for spans (seconds) with their hands in the dough."""
    many, free_since = 0, 0
    for start, end in sorted(hands):
        many += start - free_since > VISIT_GAP_SLOTS * GRID_S
        free_since = max(free_since, end)
    return many
