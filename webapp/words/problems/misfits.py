"""What no longer fits of a planned bake, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, assert_never

from webapp.core.kinds import ClockStyle, HeatUnit, MisfitKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.core.units import heat_text
from webapp.words.lists import joined, sentence
from webapp.words.plan.oven import dial_words
from webapp.words.plan.steps import title_of
from webapp.words.rests_on import sized_words
from webapp.words.spoken import bake_title
from webapp.words.times import clock

MOST_NAMED = 3  # what is said of a whole evening is read at once


class FitsNoLonger(Protocol):
    """`planning.changed.misfits.Misfit`."""

    @property
    def kind(self) -> MisfitKind: ...
    @property
    def step(self) -> PlanStep | None: ...
    @property
    def was_c(self) -> float: ...
    @property
    def is_c(self) -> float: ...
    @property
    def oven(self) -> OvenPlan | None: ...


def misfit_words(found: Iterable[FitsNoLonger], plan: Plan, style: ClockStyle, heat: HeatUnit) -> list[str]:
    """A sentence for each; one, the first, for all steps that nobody can see to."""
    every = list(found)
    steps = [one.step for one in every if one.kind == "hands" and one.step is not None]
    nobody = [_nobody(steps, plan, style)] if steps else []
    return [*nobody, *(_said(one, plan, heat) for one in every if one.kind != "hands")]


def _nobody(steps: Sequence[PlanStep], plan: Plan, style: ClockStyle) -> str:
    if len(steps) == 1:
        at, what = clock(steps[0].start, plan.zone, style), title_of(plan, steps[0])
        there = "has their hands free" if steps[0].presence == "hands" else "is at home"
        return f"{at}, {what}: by the hours and busy times of now nobody {there} then."
    named = joined(_named([(one.start, one) for one in steps], plan, style))
    return f"By the hours and busy times of now nobody can see to {named}."


class WantedTwice(Protocol):
    """`planning.changed.clashes.Clash`."""

    @property
    def step(self) -> PlanStep: ...
    @property
    def start(self) -> int: ...
    @property
    def other(self) -> Plan: ...
    @property
    def until(self) -> int: ...
    @property
    def who(self) -> str: ...


def clash_words(same: Sequence[WantedTwice], plan: Plan, kitchen: Kitchen) -> str:
    """One sentence for all steps for which the same hands, or the oven, are at the same other bake."""
    first, style = same[0], kitchen.clock
    other = bake_title(first.other)
    has = f"{_hands_of(first.who, kitchen)} are at {other}" if first.who else f"{other} is in it"
    if len(same) == 1:
        at, until = clock(first.start, plan.zone, style), clock(first.until, plan.zone, style)
        return f"{at}, {title_of(plan, first.step)}: {has} then, until {until}."
    named = joined(_named([(one.start, one.step) for one in same], plan, style))
    return f"{sentence(has)} when these are due: {named}."


def _hands_of(who: str, kitchen: Kitchen) -> str:
    person = next(one for one in kitchen.people if one.name == who)
    return "your hands" if len(kitchen.people) == 1 or person.is_reader else f"{who}’s hands"


def _named(steps: Sequence[tuple[int, PlanStep]], plan: Plan, style: ClockStyle) -> list[str]:
    named = [f"{clock(start, plan.zone, style)} {_small(title_of(plan, step))}" for start, step in steps]
    if len(named) > MOST_NAMED:
        named = [*named[: MOST_NAMED - 1], f"{len(named) - MOST_NAMED + 1} more steps"]
    return named


def _small(title: str) -> str:
    return f"{title[:1].lower()}{title[1:]}"


def _said(one: FitsNoLonger, plan: Plan, heat: HeatUnit) -> str:
    match one.kind:
        case "hands":
            raise AssertionError("told of with all steps")
        case "fridge":
            return fridge_changed_words(one.was_c, one.is_c, heat)
        case "oven":
            return oven_changed_words(one.oven)
        case "pan":
            return pan_changed_words(plan)
        case _:
            assert_never(one.kind)


def fridge_changed_words(was_c: float, is_c: float, heat: HeatUnit) -> str:
    """Of a dough that is to go into the fridge, or is in it, which is warmer or colder by now."""
    was, now = heat_text(was_c, heat), heat_text(is_c, heat)
    so = "faster" if is_c > was_c else "more slowly"
    return f"The fridge is at {now} now; these times are reckoned for {was}. The dough goes on {so} in it."


def oven_changed_words(now: OvenPlan | None) -> str:
    """What is right in the oven of now, for a bake whose hours are those of the oven of before."""
    said = "The oven was changed since: its dial and its minutes here are those of before."
    if now is None or now.setting is None:
        return said
    dial = dial_words(now.setting.dial_unit, now.setting.dial_c)
    return (
        f"{said} Now: set it to {dial}, heat it for {now.preheat_min} minutes, bake {now.bake_low_min} to"
        f" {now.bake_high_min} minutes, until the base is brown."
    )


def pan_changed_words(plan: Plan) -> str:
    """Of a dough that is not mixed, for a pan that the household has no more, or in another size."""
    return f"The pan was changed since: this dough is for {sized_words(plan.pans)}."
