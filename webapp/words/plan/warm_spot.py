"""The warm spot in words: which step ends with the dough in it, and where in this kitchen it is."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.core.kinds import HeatUnit, Place, StepKind
from webapp.core.plan.plan import Plan
from webapp.core.plan.rise import Rise
from webapp.core.plan.steps import PlanStep
from webapp.core.units import heat_text

# Hands have the dough then, and put it there; that it goes on standing there (a rise, a rest) is nothing to be done.
CARRIED: tuple[StepKind, ...] = ("preferment", "mix", "fold", "round-up", "press", "relax")
SPOT = "the warm spot"


def carried_words(steps: Sequence[PlanStep], step: PlanStep) -> str:
    """Where hands put the dough at the end of this step, behind its title: ", then into the warm spot"; else ""."""
    if not (step.chain and step.kind in CARRIED and step.place == "warm"):
        return ""
    return f", then {'back ' if _place_before(steps, step) == 'warm' else ''}into {SPOT}"


def put_words(plan: Plan, step: PlanStep, unit: HeatUnit) -> str:
    """To put it there, and where that is, as a sentence; "" where the step leaves the dough somewhere else."""
    if not (step.kind == "warm" or carried_words(plan.steps, step)):
        return ""
    back = "back " if _place_before(plan.steps, step) == "warm" else ""
    where = where_words(plan.rise)
    said = (
        f"Put it {back}into {SPOT} now{f': {where},' if where else ','} at about {heat_text(plan.rise.warm_c, unit)}."
    )
    return f"{said} A note on the dial, “dough inside”, keeps everybody from lighting it." if where else said


def where_words(rise: Rise) -> str:
    """What serves as the warm spot: "the oven, off, only its light on"; "" where it is a place of its own."""
    return "the oven, off, only its light on" if rise.warm_is_oven else ""


def _place_before(steps: Sequence[PlanStep], step: PlanStep) -> Place:
    before = [one.place for one in steps if one.chain and one.end <= step.start and one is not step]
    return before[-1] if before else "none"
