"""Two bakes side by side: what was planned, what happened, how it came out, and where they differ."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from webapp.core.kinds import OUTCOME_PARTS, ClockStyle, LineKind, MassUnit, StepKind
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep, timed_steps
from webapp.pictures.reading import times_at
from webapp.words.kinds.dough import yeast_word
from webapp.words.kinds.outcome import part_word
from webapp.words.kinds.pans import LOADING, loading_words, pans_in_full
from webapp.words.pages import book as said
from webapp.words.spoken import spoken_oven
from webapp.words.times import clock as clock_words
from webapp.words.times import duration, local_time, short_day


@dataclass(frozen=True)
class Side:
    """One of the two, as it went."""

    plan: Plan
    retimed: Retimed
    outcome: Mapping[str, str]  # part -> what was said, in words
    unit: MassUnit = "g"  # in which this kitchen weighs


@dataclass(frozen=True)
class ComparedLine:
    """One line of the comparison."""

    what: str
    left: str
    right: str

    @property
    def differs(self) -> bool:
        """Whether it is worth looking at."""
        return self.left != self.right


def compare(left: Side, right: Side) -> tuple[ComparedLine, ...]:
    """Every fact of both, in the order in which a bake goes; lines empty on both sides are left out."""
    lines = (ComparedLine(what, say(left), say(right)) for what, say in _FACTS)
    return tuple(line for line in lines if line.left or line.right)


def heads(left: Plan, right: Plan, clock: ClockStyle) -> tuple[str, str]:
    """What the two columns are called, so that they differ: by the day, with year, with hour, with dough; each
    by the clock of its bake."""
    plans = (left, right)
    for say in (
        lambda plan: short_day(plan.supper, plan.zone),
        lambda plan: f"{short_day(plan.supper, plan.zone)} {local_time(plan.supper, plan.zone).year}",
        lambda plan: f"{short_day(plan.supper, plan.zone)}, {clock_words(plan.supper, plan.zone, clock)}",
        lambda plan: f"{plan.formula_name}, {short_day(plan.supper, plan.zone)}",
    ):
        one, other = map(say, plans)
        if one != other:
            return one, other
    return said.first_and_second(one)


def _percent(kind: LineKind) -> Callable[[Side], str]:
    return lambda side: f"{side.plan.percent_of(kind):.3g} %"


def _step(side: Side, kind: StepKind) -> RetimedStep | None:
    """The first step of that kind, as it went."""
    pairs = timed_steps(side.plan, side.retimed)
    return next((timed for step, timed in pairs if step.kind == kind and timed.status != "passed"), None)


def _rise(kind: StepKind) -> Callable[[Side], str]:
    def say(side: Side) -> str:
        timed = _step(side, kind)
        return f"×{times_at(side.plan.rise.glass, timed.progress):.1f}" if timed and timed.progress > 0 else ""

    return say


def _at_the_oven(say: Callable[[Side], str]) -> Callable[[Side], str]:
    """Nothing of a bake that was given up before it came there."""
    return lambda side: say(side) if _step(side, "load") else ""


def _between(first: StepKind, second: StepKind) -> Callable[[Side], str]:
    def say(side: Side) -> str:
        before, after = _step(side, first), _step(side, second)
        if before is None or after is None or after.start < before.end:
            return ""
        return duration(after.start - before.end)

    return say


def _outcome(part: str) -> Callable[[Side], str]:
    return lambda side: side.outcome.get(part, "")


_FACTS: tuple[tuple[str, Callable[[Side], str]], ...] = (
    (said.DOUGH, lambda side: side.plan.formula_name),
    (said.WAY, lambda side: side.plan.trade.method_name),
    (said.PANS, lambda side: pans_in_full(side.plan.pans)),
    (LOADING, lambda side: loading_words(side.plan.loading_g_cm2, side.unit)),
    (said.WATER, _percent("water")),
    (said.SALT, _percent("salt")),
    (said.OIL, _percent("fat")),
    (said.YEAST, lambda side: f"{side.plan.yeast_percent:.2g} % {yeast_word(side.plan.yeast_kind).lower()}"),
    (said.TO_PRESSING, _between("mix", "press")),
    (said.AT_PRESSING, _rise("press")),
    (said.TO_OVEN, _between("press", "load")),
    (said.AT_LOADING, _rise("load")),
    (said.DIAL, _at_the_oven(lambda side: spoken_oven(side.plan.oven, "C").dial)),
    (said.UNDER, _at_the_oven(lambda side: spoken_oven(side.plan.oven, "C").slab)),
    (said.HEATED, _at_the_oven(lambda side: duration(60 * side.plan.oven.preheat_min))),
    (said.IN_OVEN, _between("load", "lift")),
    *((part_word(part), _outcome(part)) for part in (*OUTCOME_PARTS, "timing", "verdict")),
)
