"""How a part of a dough is kept: parted, into the fridge, and out of it again for its own supper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from webapp.core.formula.cold_way import kept_short
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method, MethodStep
from webapp.core.kinds import StepKind
from webapp.core.plan.plan import Plan

PARTED: tuple[StepKind, ...] = ("mix", "chill", "press")
SOON = MethodStep("chill", 5, 0, 15, 60, alarm_min=5)  # into the fridge from the bowl
CUT_OFF = MethodStep("chill", 5)  # as the other half is pressed out
THEN = (  # rung as early as the same steps of shipped methods
    MethodStep("temper", 5, 480, 1440, 4320, alarm_min=5),
    MethodStep("press", 10, 15, 60, 180, alarm_min=5),
    MethodStep("load", 5, 45, 90, 240, alarm_min=5),
)
# As long as the method on the bench waits: what has risen too little in the cold rises on in the warm.
LONG_OUT = replace(THEN[1], wait_least_min=180, wait_best_min=480, wait_most_min=840)


def ways_out(formula: Formula) -> tuple[tuple[MethodStep, ...], ...]:
    """From the fridge on: out of it shortly before it is pressed out, or for hours on the bench; a dough with milk or
    egg with the short waits of its cold way alone."""
    if formula.cold_only:
        return (kept_short(Method("", "", (MethodStep("chill"), *THEN))).steps[1:],)
    return THEN, (THEN[0], LONG_OUT, THEN[2])


def kept_ways(plan: Plan, formula: Formula, name: str) -> Iterator[tuple[StepKind, Method]]:
    """Each way in which the half of this plan's dough can be kept: at which step it is parted, what is done to it."""
    cool = plan.making is not None and plan.making.asked_dough_c < formula.wanted_dough_c
    for at in PARTED:
        rows = _until_cold(plan, at)
        for then in ways_out(formula) if rows else ():
            yield at, Method("kept", name, (*rows, *then), mixed_cool=cool)  # mixed with the first half


def _until_cold(plan: Plan, at: StepKind) -> tuple[MethodStep, ...]:
    """What is done until the half is in the fridge, parted at the step `at`; () where that cannot be."""
    rows: list[MethodStep] = []
    ended = 0
    for step in plan.steps:
        if not step.chain or step.kind in ("fold", "rest", "round-up"):
            continue
        if step.kind not in ("preferment", "mix", "chill", "press") or (step.place != "bench" and step.kind != "chill"):
            return ()
        wait = (step.start - ended) // 60 if rows else 0
        hands = (step.end - step.start) // 60
        if step.kind == "press":
            rows.append(_waiting(CUT_OFF, wait + hands))
        else:
            rows.append(_waiting(MethodStep(step.kind, hands), wait))
        if step.kind == at or step.kind in ("chill", "press"):
            break
        ended = step.end
    if rows[-1].kind == "mix":
        rows.append(SOON)
    return tuple(rows) if step.kind == at else ()


def _waiting(step: MethodStep, wait_min: int) -> MethodStep:
    return replace(step, wait_least_min=wait_min, wait_best_min=wait_min, wait_most_min=wait_min)
