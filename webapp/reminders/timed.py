"""The steps of a bake that calendars tell of, at their present times."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kitchen import MOST_ALARM_MIN, NO_ALARM, Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.steps import PlanStep

MOMENTS = frozenset(
    ("preferment", "mix", "round-up", "chill", "temper", "warm", "warm-out", "press", "preheat", "top", "load", "lift")
)  # for which somebody must come


@dataclass(frozen=True)
class StepNow:
    """A step at its present time."""

    step: PlanStep
    start: int
    end: int
    open: bool


def timed_steps(plan: Plan, retimed: Retimed | None) -> list[StepNow]:
    """The steps that need somebody, as re-timed (as planned, without `retimed`)."""
    now = {s.step_id: s for s in retimed.steps} if retimed else {}
    wanted = [s for s in plan.steps if s.rings and s.presence != "none" and not _is_taken_away(s, now.get(s.step_id))]
    return [
        StepNow(s, now[s.step_id].start, now[s.step_id].end, now[s.step_id].status == "open")
        if s.step_id in now
        else StepNow(s, s.start, s.end, True)
        for s in wanted
    ]


def _is_taken_away(step: PlanStep, now: RetimedStep | None) -> bool:
    """Has nobody to do it any more: by the way that was taken the dough is where the step would have brought it. Such
    a step has a time at which it would have been, and takes none."""
    return now is not None and now.status == "passed" and now.start == now.end and step.end > step.start


def alarm_min(step: PlanStep, kitchen: Kitchen) -> int:
    """Minutes before the start that this step's alarm rings: the person's own choice for its kind, else the plan's."""
    minutes = dict(kitchen.alarms).get(step.kind, step.alarm_min)
    return NO_ALARM if minutes < 0 else min(minutes, MOST_ALARM_MIN)


def uid_for(bake_id: str, step_id: str) -> str:
    """The event's name for ever (RFC 5545 3.8.4.7): the same for every revision, with nothing personal in it."""
    return f"{bake_id}-{step_id}@suppertide"
