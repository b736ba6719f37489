"""A dough for two evenings in words: what becomes of the half that is kept, of the piece that is cut off."""

from __future__ import annotations

from webapp.core.kinds import MassUnit
from webapp.core.plan.plan import KeptPart, Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.units import mass_text
from webapp.words.shared import OVER_THE_PAN, OVER_THE_PANS
from webapp.words.times import weekday

KEPT_METHOD = "Kept from another evening"  # what the way of such a part is called


def kept_words(plan: Plan, step: PlanStep, unit: MassUnit) -> str:
    """What is done with the part for the other evening where that goes into the fridge; "" at any other step."""
    kept = plan.kept
    if kept is None:
        return ""
    at = kept.at if kept.mixed_here else "chill"
    if step.step_id != next((one.step_id for one in plan.steps if one.kind == at), ""):
        return ""
    grams, other = mass_text(kept.grams, unit), weekday(kept.supper, plan.zone)
    if kept.spare:
        return _spare_words(kept, grams, other)
    if not kept.mixed_here:
        return f"This is the half, {grams}, of the dough that was mixed for {other}: it has a tub of its own."
    if at == "mix":
        return f"Then part it: {grams} go into an oiled tub, covered, and soon into the fridge, for {other}."
    if at == "chill":
        return f"Divide the dough: {grams} go into an oiled tub of their own, which stays in the fridge for {other}."
    return f"First cut off the half for {other}: {grams} go into an oiled tub, covered, into the fridge."


def over_pan_words(plan: Plan, over_g: float, unit: MassUnit) -> str:
    """What is done before a dough is pressed out that is so much more than its pans take; "" where they take all."""
    said = OVER_THE_PANS if sum(pan.count for pan in plan.pans) > 1 else OVER_THE_PAN
    return said.format(over=mass_text(over_g, unit)) if over_g else ""


def _spare_words(kept: KeptPart, grams: str, other: str) -> str:
    if not kept.mixed_here:
        return f"Cut {grams} off the dough for {other}, into an oiled tub of its own."
    if kept.at == "mix":
        return ""  # it is cut off by now
    if kept.at == "chill":
        return f"Divide the dough: {grams} go into an oiled tub of their own, for {other}."
    return f"First cut off the piece for {other}: {grams} go into an oiled tub, covered, into the fridge."
