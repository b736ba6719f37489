"""What the dough of each oven load has taken up when it is pressed and loaded, and the yeast that follows from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean
from typing import NamedTuple

from webapp.core.planner.cost import LOAD_LOSS, PRESS_LOSS
from webapp.core.planner.loads import Loads
from webapp.core.planner.rising import PER_MILLE, DoughAt, Rising


class Tray(NamedTuple):
    """The dough of one load: warm seconds when pressed and when loaded, and how old it is then."""

    pressed: int
    loaded: int
    age: int


def trays(rising: Rising, loads: Loads, starts: Sequence[int], at: DoughAt) -> list[Tray]:
    """Load after load, each a cycle behind the one before; `at` is the dough as it stands before pressing.

    `starts` are the slots of pressing, of what lies between, and of loading.
    """
    press, rows = rising.chain.press, []
    for later in range(0, loads.last_shift + 1, max(1, loads.cycle)):
        tray = at
        for number, start in enumerate(starts[:-1], press):
            tray = rising.moved(tray, number, start + later)
        loaded = starts[-1] + later
        pressed = rising.warm_at(at, starts[0] + later)
        rows.append(Tray(pressed, rising.warm_at(tray, loaded), rising.age_at(tray, loaded)))
    return rows


def aim_of(rising: Rising, rows: Sequence[Tray], most: int) -> int:
    """Warm seconds in which the yeast brings the dough to its best, of least loss over every load.

    The search counts the first load alone; the others come after it, so their mean asks for less yeast, but never for
    less than can be dosed (`most` warm seconds).
    """
    first = rows[0]
    aim = rising.aim(first.pressed, (first.loaded - first.pressed) * PER_MILLE // first.pressed)
    behind = fmean(
        PRESS_LOSS * math.log(one.pressed / first.pressed) + LOAD_LOSS * math.log(one.loaded / first.loaded)
        for one in rows
    )
    return max(aim, min(most, int(aim * math.exp(behind / (PRESS_LOSS + LOAD_LOSS)))))
