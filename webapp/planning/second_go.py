"""A dough that comes cold to its tray is pressed in two goes: the second one is a step with a time of its own.

How cold it is when it is pressed, and how long its thin layer needs until it gives, `core/rise/pressing.py` says. The
second go is the first quarter of an hour or so after that in which somebody has free hands and the tray is not yet due
elsewhere; where the evening has no room for it, the pressing step says so, and what to do then.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from webapp.core.day.free_time import Day
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import GRID_S, PlanStep
from webapp.core.planner.cost import visits
from webapp.core.rise.pressing import SECOND_GO_S, cold_when_pressed, rest_min, tray_due


def in_two_goes(plan: Plan, day: Day) -> Plan:
    """The plan with a second go after every pressing that needs one, and its hands counted."""
    steps = plan.steps
    for press in [step for step in plan.steps if step.kind == "press"]:
        again = _second_go(replace(plan, steps=steps), press, day)
        if again is not None:
            steps = _with(steps, again)
    if steps == plan.steps:
        return plan
    hands = [(step.start, step.end) for step in steps if step.presence == "hands" and step.end > step.start]
    trade = replace(plan.trade, hands_on_s=sum(end - start for start, end in hands), visits=visits(hands))
    return replace(plan, steps=steps, trade=trade)


def _second_go(plan: Plan, press: PlanStep, day: Day) -> PlanStep | None:
    cold = cold_when_pressed(plan, press)
    if cold is None or press.place == "fridge":
        return None
    due = tray_due(plan, press)
    taken = [step for step in plan.steps if step.presence == "hands" or step.kind == "preheat"]
    soonest = press.end + rest_min(cold) * 60
    for start in range(soonest, due - SECOND_GO_S + 1, GRID_S):
        end = start + SECOND_GO_S
        if all(step.end <= start or step.start >= end for step in taken) and _somebody_free(day, start, end):
            return PlanStep(
                second_id(press), "relax", start, end, "hands", press.place, press.vessel,
                wait_least_s=soonest - press.end, alarm_min=press.alarm_min, load=press.load,
            )  # fmt: skip
    return None


def second_id(press: PlanStep) -> str:
    """The key of the second go of that pressing: "relax", of one of several loads "relax-2"."""
    return f"relax-{press.load}" if press.load else "relax"


def _somebody_free(day: Day, start: int, end: int) -> bool:
    return any(span.start <= start and end <= span.end for person in day.people for span in person.free)


def _with(steps: Sequence[PlanStep], again: PlanStep) -> tuple[PlanStep, ...]:
    """The steps with this one at its time; waits are told from the end of the chain step before."""
    at = next(i for i, step in enumerate(steps) if step.start >= again.end and step.chain)
    before = max(i for i, step in enumerate(steps[:at]) if step.chain)
    press = next(step for step in steps if step.kind == "press" and second_id(step) == again.step_id)
    gap = again.start - steps[before].end
    least = max(0, press.end + again.wait_least_s - steps[before].end)
    later = again.end - steps[before].end
    after = steps[at]
    put = replace(again, wait_least_s=min(least, gap))
    # Who is quick at it has the tray wait no longer for that: the most counts from the soonest that it can be done.
    most = max(after.start - again.end, after.wait_most_s - put.wait_least_s)
    moved = replace(after, wait_least_s=max(0, after.wait_least_s - later), wait_most_s=most)
    rows = [*steps[:at], put, moved, *steps[at + 1 :]]
    return tuple(sorted(rows, key=lambda step: (step.start, not step.chain, step.end)))
