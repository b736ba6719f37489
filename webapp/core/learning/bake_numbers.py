"""A bake in numbers, as far as they are known: what the causes of tables/trouble.toml look at.

Everything comes from the plan, and from what really happened (the re-timed steps): minutes of heating and of baking,
rise at pressing and loading against the marks, loads of dough and topping, what the oven is.
"""

from __future__ import annotations

from collections.abc import Iterable

from webapp.core.formula.toppings import load_g_cm2
from webapp.core.kinds import BakeNumber, StepKind
from webapp.core.kitchen import Oven
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.steps import RiseMark

WET_OTHERS = 20.0  # % of other ingredients above which water alone says nothing about how wet the dough is


def numbers_of(plan: Plan, retimed: Retimed, oven: Oven) -> dict[BakeNumber, float]:
    """What is known of this bake, by the names of `BakeNumber`; a number that cannot be known is missing."""
    area = sum(pan.area_cm2 * pan.count for pan in plan.pans)
    found: dict[BakeNumber, float | None] = {
        **_minutes(plan, retimed),
        **_rises(plan, retimed),
        "topping_g_cm2": load_g_cm2(plan.toppings, area),
        "loading_g_cm2": plan.loading_g_cm2,
        "hydration_percent": None if plan.percent_of("other") > WET_OTHERS else plan.percent_of("water"),
        "salt_percent": plan.percent_of("salt"),
        "fat_percent": plan.percent_of("fat"),
        "slab": float(plan.oven.has_slab),
        "lowest": float(plan.oven.setting.shelf == "low") if plan.oven.setting else None,
        "fan": float(plan.oven.function == "fan"),
        "dial_off_c": -oven.dial_error_c,
        "measured": float(oven.measured_preheat_min > 0),
    }
    return {name: value for name, value in found.items() if value is not None}


def _first(plan: Plan, retimed: Retimed, kind: StepKind) -> RetimedStep | None:
    ids = [step.step_id for step in plan.steps if step.kind == kind]
    return next((step for step in retimed.steps if step.step_id in ids), None)


def _apart_min(earlier: int | None, later: int | None) -> float | None:
    return None if earlier is None or later is None else (later - earlier) / 60.0


def _less(one: float | None, other: float) -> float | None:
    return None if one is None else one - other


def _minutes(plan: Plan, retimed: Retimed) -> dict[BakeNumber, float | None]:
    """Heating, baking, turning down and proof, from the times that steps really had."""
    kinds: tuple[StepKind, ...] = ("preheat", "press", "load", "turn-down", "lift")
    steps = {kind: _first(plan, retimed, kind) for kind in kinds}
    starts = {kind: step.start if step else None for kind, step in steps.items()}
    ends = {kind: step.end if step else None for kind, step in steps.items()}
    heated = _apart_min(starts["preheat"], starts["load"])
    baked = _apart_min(ends["load"], starts["lift"])
    return {
        "heat_short_min": None if heated is None or heated < 0 else plan.oven.preheat_min - heated,
        "bake_short_min": None if baked is None else plan.oven.bake_low_min - baked,
        "bake_long_min": _less(baked, plan.oven.bake_high_min),
        "turn_down_late_min": _apart_min(ends["load"], starts["turn-down"]),
        "proof_min": _apart_min(ends["press"], starts["load"]),
    }


def _rises(plan: Plan, retimed: Retimed) -> dict[BakeNumber, float | None]:
    """Where the dough stood against its marks."""
    press, load = (_progress(plan, retimed, kind) for kind in ("press", "load"))
    return {
        "press_ratio": press[0] / press[1].best if press else None,
        "load_ratio": load[0] / load[1].best if load else None,
        "load_past_ratio": load[0] / load[1].past if load else None,
        "dough_c": retimed.curve[-1].dough_c if retimed.curve else None,
    }


def _progress(plan: Plan, retimed: Retimed, kind: StepKind) -> tuple[float, RiseMark] | None:
    step = _first(plan, retimed, kind)
    marks: Iterable[RiseMark | None] = (one.mark for one in plan.steps if step and one.step_id == step.step_id)
    mark = next(iter(marks), None)
    return (step.progress, mark) if step and mark else None
