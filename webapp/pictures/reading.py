"""What the tide chart reads off a plan and where it stands. Twin of static/js/pictures/reading.js."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

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
    """The open step whose rise the person meets next, with the instants between which the dough waits: none before it
    was pressed, if it was, however ripe it was by then."""
    pairs = pairs_of(plan, retimed)
    met = next((r for s, r in pairs if s.mark is not None and r.status == "open" and r.early_at), None)
    if met is None:
        return None
    pressed = max((r.end for s, r in pairs if s.kind == "press" and r.status == "done"), default=0)
    since = max(met.early_at, pressed)
    return replace(met, early_at=since, best_at=met.best_at and max(met.best_at, since))


def until_of(timed: RetimedStep, until: int) -> int:
    """By when the dough has to be gone on with, where the bar is about that; else 0: who must come before it has risen
    is not waited for."""
    return until if until > timed.early_at else 0


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
