"""One lateness, as an instant: until when somebody may come home and supper still stands, on a dough still good."""

from __future__ import annotations

from itertools import pairwise

from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep

WHOLE_S = 300  # said to the five minutes, on the safe side


def meeting(plan: Plan) -> PlanStep:
    """The step to be there for: the one that ends the longest time that the dough is left to itself.

    Where somebody only comes home to mix, it is the first step.
    """
    chain = [step for step in plan.steps if step.chain]
    home = comes_home(plan)
    if home is not None and home <= chain[0].start:
        return chain[0]
    return max(pairwise(chain), key=lambda pair: pair[1].start - pair[0].end)[1]


def comes_home(plan: Plan) -> int | None:
    """When the last hours away before supper end; None when there are none from now on."""
    ends = [one.end for one in plan.busy if one.kind != "asleep" and plan.made_at < one.end <= plan.supper]
    return max(ends, default=None)


def from_away(plan: Plan) -> bool:
    """Whether somebody comes home to that step, rather than being there all the time."""
    home = comes_home(plan)
    return home is not None and home <= meeting(plan).start


def home_by(plan: Plan) -> int:
    """The latest instant to begin the step that is met on coming home, supper as planned and the dough likely good.

    Waits between that step and the oven are cut to what the way of making it needs at least; a rise is not made any
    quicker by that. Never before the step's own start.
    """
    step = meeting(plan)
    if step.kind in ("mix", "preferment"):
        return step.start
    late_s = min(plan.trade.slack_s, _room_s(plan, step))
    lit = (one.start for one in plan.steps if one.kind == "preheat")
    latest = min([step.start + late_s, *lit])
    return max(step.start, latest // WHOLE_S * WHOLE_S)


def _room_s(plan: Plan, step: PlanStep) -> int:
    """Seconds by which waits from the end of `step` to the first loading can be cut down."""
    chain = [one for one in plan.steps if one.chain and one.start >= step.start]
    room = 0
    for before, after in pairwise(chain):
        room += max(0, after.start - before.end - after.wait_least_s)
        if after.kind == "load":
            break  # what the oven does takes as long as it takes
    return room
