"""What no longer fits of a planned bake, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, Protocol, assert_never

from webapp.core.kinds import ClockStyle, HeatUnit
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.units import heat_text
from webapp.words.lists import joined
from webapp.words.plan.steps import title_of
from webapp.words.times import clock

MOST_NAMED = 3  # what is said of a whole evening is read at once


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
    """A sentence for each; one, the first, for all steps that nobody can see to."""
    every = list(found)
    steps = [one.step for one in every if one.kind == "hands" and one.step is not None]
    nobody = [_nobody(steps, plan, style)] if steps else []
    return [*nobody, *(_said(one, heat) for one in every if one.kind != "hands")]


def _nobody(steps: Sequence[PlanStep], plan: Plan, style: ClockStyle) -> str:
    if len(steps) == 1:
        at, what = clock(steps[0].start, plan.zone, style), title_of(plan, steps[0])
        there = "has their hands free" if steps[0].presence == "hands" else "is at home"
        return f"{at}, {what}: by the hours and busy times of now nobody {there} then."
    named = [f"{clock(one.start, plan.zone, style)} {_small(title_of(plan, one))}" for one in steps]
    if len(named) > MOST_NAMED:
        named = [*named[: MOST_NAMED - 1], f"{len(named) - MOST_NAMED + 1} more steps"]
    return f"By the hours and busy times of now nobody can see to {joined(named)}."


def _small(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def _said(one: FitsNoLonger, heat: HeatUnit) -> str:
    match one.kind:
        case "hands":
            raise AssertionError("told of with all steps")
        case "fridge":
            was, now = heat_text(one.was_c, heat), heat_text(one.is_c, heat)
            so = "faster" if one.is_c > one.was_c else "more slowly"
            return f"The fridge is at {now} now; these times are reckoned for {was}. The dough goes on {so} in it."
        case "oven":
            return "The oven was changed since: its dial and its minutes here are those of before."
        case _:
            assert_never(one.kind)
