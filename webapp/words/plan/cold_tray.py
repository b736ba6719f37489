"""What the pressing step says of a dough that comes cold from the fridge and springs back."""

from __future__ import annotations

from webapp.core.plan.plan import Making, Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.rise.pressing import SECOND_GO_S, ColdDough, cold_at, cold_when_pressed, rest_min, tray_due
from webapp.words.times import duration_words

_ROUGHLY_S = 1800  # how long a bowl would take is told on half hours


def cold_words(plan: Plan, made: Making, step: PlanStep, temp_c: float | None = None) -> str:
    """What to do with a dough that comes cold from the fridge; "" when it gives.

    `temp_c`: as it turned out, of a dough that was not planned to be cold then; None = as planned.
    """
    if step.kind != "press":
        return ""
    cold = cold_when_pressed(plan, step) if temp_c is None else cold_at(plan, step, temp_c)
    if cold is None:
        return ""
    planned = [one.start - step.end for one in plan.steps if one.kind == "relax" and one.load == step.load]
    rest = duration_words(next(iter(planned), rest_min(cold) * 60))
    # No figures that the kitchen screen, which knows how warm the dough is by now, would tell otherwise.
    in_bowl_s = max(1, (cold.in_bowl_min * 60 + _ROUGHLY_S // 2) // _ROUGHLY_S) * _ROUGHLY_S
    bowl = f"; left in the {made.vessel} it would take about {duration_words(in_bowl_s)} to give"
    return (
        "From the fridge it is still cold and springs back: press it half way into the oiled pan, cover it,"
        f" and press it to the edge after a rest of {rest}{bowl if cold.in_bowl_min else ''}."
        f"{'' if planned or temp_c is not None else _no_second_go(plan, step, cold)}"
    )


def tip_words(cold: str) -> str:
    """How a dough that gives is pressed; "" where `cold` has said how one that springs back is."""
    tip = "Tip the dough in, oil your fingertips, and dimple it outwards. If it springs back, let it rest ten minutes"
    return "" if cold else f"{tip} and go on."


def temper_words(plan: Plan, step: PlanStep, stands: str) -> str:
    """What to do with a dough that leaves the fridge; `stands` says for how long and where it waits."""
    after = next((one for one in plan.steps if one.kind == "press" and one.start >= step.end), None)
    waits = f" {stands}" if stands else ""
    if after is None or cold_when_pressed(plan, after) is None:
        return f"Take it out, still covered, and let it warm up{waits}. Cold dough tears: give it its time."
    return f"Take it out, still covered. It waits{waits} and stays cold: it is pressed so, in two goes."


def _no_second_go(plan: Plan, press: PlanStep, cold: ColdDough) -> str:
    """What to do where the evening keeps no time for the second go, or nobody to do it."""
    given_s = tray_due(plan, press) - press.end
    if given_s >= rest_min(cold) * 60 + SECOND_GO_S:
        return " Nobody is sure to have free hands then: whoever is there does it."
    return (
        f" This day leaves it only {duration_words(given_s)} in the tray, so the edge stays thicker: draw it out once"
        " more just before it is topped or loaded."
    )
