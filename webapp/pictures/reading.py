"""What the tide chart reads off a plan and where it stands. Twin of static/js/pictures/reading.js."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep, timed_steps
from webapp.core.plan.rise import GlassMark
from webapp.core.plan.steps import PlanStep


def pairs_of(plan: Plan, retimed: Retimed) -> list[tuple[PlanStep, RetimedStep]]:
    """The steps still in the plan, each as it stands."""
    return [(s, r) for s, r in timed_steps(plan, retimed) if r.status != "passed"]


def mixed_at(plan: Plan, retimed: Retimed) -> int:
    """When the rise begins as things stand."""
    return retimed.curve[0].at if retimed.curve else plan.rise.mixed_at


def waiting(plan: Plan, retimed: Retimed) -> RetimedStep | None:
    """The open step whose rise the person meets next, with the instants between which the dough waits."""
    marked = [r for s, r in pairs_of(plan, retimed) if s.mark is not None and r.status == "open" and r.early_at]
    return marked[0] if marked else None


def times_at(glass: Sequence[GlassMark], progress: float) -> float:
    """How many times its first volume the dough has at that progress.

    Between the plan's marks of the glass on a straight line; past the last one on, by the last two.
    """
    times, below = 1.0, 0.0
    out = 1.0 + progress  # a plan without marks: no better guess, and still a curve
    for mark in glass:
        out = times + (mark.times - times) * (progress - below) / (mark.progress - below)
        if progress <= mark.progress:
            return out
        times, below = mark.times, mark.progress
    return out
