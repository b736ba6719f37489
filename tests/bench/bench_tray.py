"""For how long a dough that was pressed at its best may wait in the tray, on the day that the real planner makes.

    python -m tests.bench.bench_tray

Every shipped formula that has a plan in a kitchen of 21 and of 27 C, at home or away all day; the dough is added up
minute by minute here (`Truth` of `bench_evenings.py`), left on the bench in its tray from pressing on. Aim: about 5 h
at 21 C and 4 h at 27 C for a dough of a whole day on the bench (common practice); a dough of one evening or of the
fridge is quicker when it is pressed, and past by its rise before that.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from itertools import groupby

from tests.bench.bench_evenings import DAY, MIDNIGHT, Stock, Truth
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, DayHours, Kitchen, PartOfDay, Person, Wish
from webapp.core.plan.plan import Plan
from webapp.planning.full_plan import plans_for

DAYS = (DayHours(360, 1380, (AwaySpan(480, 1065),)), DayHours(360, 1380))
AT_BEST_LN = 0.07  # pressed so near to its best counts as pressed at its best
LONGEST_MIN = 24 * 60


def plans(room_c: float) -> Iterator[Plan]:
    """All that is offered for supper at eight in such a kitchen."""
    stock = Stock()
    for formula in stock.formulas:
        for day in DAYS:
            kitchen = Kitchen(
                zone="UTC", room=(PartOfDay(0, room_c),), people=(Person("Me", (day,) * 7),), micro_step_g=0.01
            )
            try:
                yield from plans_for(
                    Wish(f"{DAY}T20:00", kitchen.pans[:1], formula), kitchen, MIDNIGHT + 6 * 3600, "x", stock
                )
            except PlanError:
                continue  # a dough that is not for this kitchen or day


def window_min(plan: Plan) -> tuple[float, int]:
    """ln(progress at pressing / best there); minutes from pressing until the dough on the bench is past its best."""
    press, load = (next(step for step in plan.steps if step.kind == kind) for kind in ("press", "load"))
    assert press.mark
    assert load.mark
    mixed = max(step.end for step in plan.steps if step.kind == "mix")
    stands = [
        (step.end, step.place, step.vessel) for step in plan.steps if step.chain and mixed <= step.end <= press.start
    ]
    as_planned = Truth(plan, 1.0, 0.0, 1.0)
    off = math.log(as_planned.progress(stands, press.start) / press.mark.best)
    stands.append((press.end, "bench", "tray"))
    past = bisect_left(
        range(LONGEST_MIN), load.mark.past, key=lambda m: as_planned.progress(stands, press.end + 60 * m)
    )
    return off, past


def main() -> None:
    """Print hours by kitchen and method."""
    for room_c in (21.0, 27.0):
        rows = sorted((plan.trade.method, *window_min(plan)) for plan in plans(room_c))
        for method, group in groupby(rows, key=lambda row: row[0]):
            hours = sorted(past / 60 for _, off, past in group if abs(off) <= AT_BEST_LN)
            if hours:
                print(f"{room_c:.0f} C  {method:12} {len(hours):2} doughs: {hours[0]:.1f} to {hours[-1]:.1f} h")


if __name__ == "__main__":
    main()
