"""What no longer fits of a planned bake, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, Protocol, assert_never

from webapp.core.kinds import ClockStyle, HeatUnit
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.units import heat_text
from webapp.words.plan.steps import title_of
from webapp.words.times import clock


class FitsNoLonger(Protocol):
    """`planning.changed.misfits.Misfit`."""

    @property
    def kind(self) -> Literal["hands", "fridge", "oven"]: ...
    @property
    def step(self) -> PlanStep | None: ...
    @property
    def was_c(self) -> float: ...
    @property
    def is_c(self) -> float: ...


def misfit_words(found: Iterable[FitsNoLonger], plan: Plan, style: ClockStyle, heat: HeatUnit) -> list[str]:
    """A sentence for each."""
    return [_said(one, plan, style, heat) for one in found]


def _said(one: FitsNoLonger, plan: Plan, style: ClockStyle, heat: HeatUnit) -> str:
    match one.kind:
        case "hands":
            assert one.step is not None, "of a step"
            at, what = clock(one.step.start, plan.zone, style), title_of(plan, one.step)
            there = "has their hands free" if one.step.presence == "hands" else "is at home"
            return f"{at}, {what}: by the hours and busy times of now nobody {there} then."
        case "fridge":
            was, now = heat_text(one.was_c, heat), heat_text(one.is_c, heat)
            so = "faster" if one.is_c > one.was_c else "more slowly"
            return f"The fridge is at {now} now; these times are reckoned for {was}. The dough goes on {so} in it."
        case "oven":
            return "The oven was changed since: its dial and its minutes here are those of before."
        case _:
            assert_never(one.kind)
