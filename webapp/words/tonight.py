"""The home page in words: when to mix, what is left in the evening, by when to be home."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Protocol

from webapp.core.kinds import ClockStyle, StepKind
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.steps import PlanStep, is_anothers
from webapp.words.lists import sentence
from webapp.words.plan.steps import begins, plain_title
from webapp.words.plan.warm_spot import carried_words
from webapp.words.plan.whose import SOMEBODY_ELSE
from webapp.words.times import (
    EVENING_H,
    NOON_H,
    clock,
    clock_beside,
    day_clock,
    day_name,
    days_off,
    duration,
    five,
    local_time,
    weekday,
)

TONIGHT = "Tonight"
HOME_BY = "Home by"
WARM_TOO = ", warm spot"  # behind what ends with the dough in it
HOME_ALREADY = "Home already?"
UNTOLD_S = 3600  # a dough that should be mixed, or in the fridge, for an hour: whether it is comes before any supper
UNTOLD: Mapping[str, str] = {"mix": "Was it mixed at {at}?", "chill": "Has it been in the fridge since {at}?"}
AT_ONCE_S = 600  # what is done within ten minutes is one thing to come for, as in the calendar
LONG_S = 8 * 3600  # ready for so long: only the end is told
NIGHT_H = 4  # until then it is still the evening before
# What is left to do, in one or two words each; steps that are not named here are too small to be told of in advance.
TO_DO: dict[StepKind, str] = {
    "preferment": "mix the preferment",
    "mix": "mix",
    "fold": "fold",
    "round-up": "round up",
    "chill": "into the fridge",
    "warm": "into the warm spot",
    "warm-out": "dough out",
    "temper": "dough out",
    "press": "press out",
    "relax": "press again",
    "preheat": "oven on",
    "load": "bake",
}
# What is one visit where it follows within AT_ONCE_S.
_AT_ONCE: tuple[tuple[StepKind, StepKind], ...] = (
    ("mix", "chill"), ("fold", "chill"), ("temper", "press"), ("warm-out", "press"),
)  # fmt: skip
_BEHIND: tuple[tuple[StepKind, str], ...] = (("chill", "fridge"), ("relax", "again"))  # in a line that began before


class Meets(Protocol):
    """A day as the home page shows it."""

    @property
    def plan(self) -> Plan: ...
    @property
    def retimed(self) -> Retimed: ...
    @property
    def home_by(self) -> int: ...
    @property
    def from_away(self) -> bool: ...
    @property
    def met(self) -> StepKind: ...
    @property
    def between(self) -> tuple[int, int] | None: ...
    @property
    def proofs(self) -> tuple[int, int] | None: ...


@dataclass(frozen=True)
class Line:
    """What one part of the day asks for: its label and what is done in it, in order."""

    label: str
    said: tuple[str, ...]


def evening_name(supper: int, zone: str, now: int) -> str:
    """ "Tonight", "Today" for a supper at noon, "Tomorrow", "Saturday"."""
    hour = local_time(supper, zone).hour
    tonight = days_off(supper, zone, now) == 0 and (hour >= EVENING_H or hour < NIGHT_H)
    return TONIGHT if tonight else sentence(day_name(supper, zone, now))


def evening_within(supper: int, zone: str, now: int) -> str:
    """The same inside a sentence: "tonight", "tomorrow", "Saturday"."""
    name = evening_name(supper, zone, now)
    return name.lower() if 0 <= days_off(supper, zone, now) <= 1 else name


def short_evening(supper: int, zone: str, now: int) -> str:
    """ "Tonight", "Tomorrow", "Sat 28": for a row of small buttons."""
    if 0 <= days_off(supper, zone, now) <= 1:
        return evening_name(supper, zone, now)
    return f"{weekday(supper, zone)[:3]} {local_time(supper, zone).day}"


def day_lines(day: Meets, style: ClockStyle, now: int) -> list[Line]:
    """When to mix and fold, by when to be home, what is left in the evening: in the order of the plan.

    Beside the step that one comes home to, how late that may be; one lateness, said the same on every page.
    """
    plan = day.plan
    told = _told(plan)
    met = next((step for step in told if step.kind == day.met), None)
    parts: dict[str, tuple[str, ...]] = {}
    for i, step in enumerate(told):
        if _is_joined(told, i, met):
            continue
        warm = WARM_TOO if carried_words(plan.steps, step) else ""
        said = f"{clock(step.start, plan.zone, style)} {TO_DO[step.kind]}{warm}"
        joined = list(takewhile(lambda j: _is_joined(told, j, met), range(i + 1, len(told))))
        same = [j for j in joined if told[j].start - step.start <= AT_ONCE_S]  # the time that is told is theirs too
        said = ", ".join([said, *(TO_DO[told[j].kind] for j in same)])
        is_latest = step is met and (day.from_away or day.home_by > step.start)
        latest = _latest_words(day, told[i + len(same) + 1 :], step, style) if is_latest else ""
        aside = "; ".join(one for one in (SOMEBODY_ELSE if is_anothers(step) else "", latest) if one)
        said = f"{said} ({aside})" if aside else said
        for j in joined[len(same) :]:  # one line for one visit
            kind = told[j].kind
            doing = "" if told[j - 1].kind == kind else f"{dict(_BEHIND).get(kind, TO_DO[kind])} "
            said = f"{said}, {doing}{clock(told[j].start, plan.zone, style)}"
        part = _part_of(step.start, plan, now)
        parts[part] = (*parts.get(part, ()), said)
    if met is None:
        label, said = _by(day, style, now)
        parts[label] = (said,)
    return [Line(*one) for one in parts.items()]


def _told(plan: Plan) -> list[PlanStep]:
    """What is told, in order; the second go of a tray right after its first, and only where nobody comes to light the
    oven at about that time."""
    told = [step for step in plan.steps if step.kind in TO_DO and step.load < 2]
    lit = [step.start for step in told if step.kind == "preheat"]
    told = [one for one in told if one.kind != "relax" or all(abs(one.start - at) > AT_ONCE_S for at in lit)]
    first = {step.load: step.start for step in told if step.kind == "press"}
    return sorted(told, key=lambda step: (first[step.load], 1) if step.kind == "relax" else (step.start, 0))


def _is_joined(told: Sequence[PlanStep], i: int, met: PlanStep | None) -> bool:
    """Does the line before name this too: a fold, a second go, or what follows at once, by the same person, and not
    what somebody comes home to?"""
    step, before = told[i], told[i - 1]
    if i == 0 or step is met or is_anothers(step) != is_anothers(before):
        return False
    at_once = (before.kind, step.kind) in _AT_ONCE and step.start - before.end <= AT_ONCE_S
    return step.kind in ("fold", "relax") or at_once


def _latest_words(day: Meets, after: Sequence[PlanStep], met: PlanStep, style: ClockStyle) -> str:
    """How late that may be; where that is later than what is told after it, what becomes of that."""
    passed = any(step.start < day.home_by for step in after if step.kind != "relax")  # it goes with its pressing
    return f"{late_words(day, style, met.start)}{': the rest moves, supper stays' if passed else ''}"


def late_words(day: Meets, style: ClockStyle, beside: int) -> str:
    """ "home by 18:10 at the latest"; "home by then" of the instant `beside`; with its day when that is another's."""
    if day.home_by == beside:
        return "home by then" if day.from_away else "no later"
    said = f"{clock_beside(day.home_by, day.plan.zone, style, beside)} at the latest"
    return f"{'home by ' if day.from_away else ''}{said}"


def _by(day: Meets, style: ClockStyle, now: int) -> tuple[str, str]:
    return HOME_BY if day.from_away else "Go on by", f"{home_by_words(day, style, now)} at the latest"


def by_words(day: Meets, style: ClockStyle, now: int) -> str:
    """What the lines are folded under: "Home by 18:10 at the latest"."""
    return " ".join(_by(day, style, now))


def home_by_words(day: Meets, style: ClockStyle, now: int) -> str:
    """ "18:10"; on another day than supper's with its name: "07:10 tomorrow"."""
    return _beside_supper(day.home_by, day.plan, style, now)


def begins_words(day: Meets, style: ClockStyle, now: int) -> str:
    """When hands are first wanted, in the same way: "07:15", "18:55 today", "18:55 Wednesday"."""
    return _beside_supper(begins(day.plan), day.plan, style, now)


def _beside_supper(at: int, plan: Plan, style: ClockStyle, now: int) -> str:
    said = clock(at, plan.zone, style)
    return said if days_off(at, plan.zone, plan.supper) == 0 else f"{said} {day_name(at, plan.zone, now)}"


def _part_of(at: int, plan: Plan, now: int) -> str:
    """ "Now" within ten minutes, "This morning", "Tonight"; of a later supper's day "Morning", else "Friday"."""
    if 0 <= at - now <= AT_ONCE_S:
        return "Now"
    hour, off = local_time(at, plan.zone).hour, days_off(at, plan.zone, now)
    part = "morning" if hour < NOON_H else "afternoon" if hour < EVENING_H else "evening"
    if off == 0:
        return TONIGHT if part == "evening" else f"This {part}"
    on_the_day = off == days_off(plan.supper, plan.zone, now)
    return sentence(part if on_the_day else day_name(at, plan.zone, now))


def sooner_words(plan: Plan, usual: Plan, style: ClockStyle) -> str:
    """Why a later supper than usual has its mixing sooner, the best day at the usual hour beside it; "" when not."""
    if _start(plan, "mix") >= _start(usual, "mix"):
        return ""
    said = f"You begin sooner than for supper at {clock(usual.supper, plan.zone, style)}"
    if plan.trade.method != usual.trade.method:
        return f"{said}: “{plan.trade.method_name}” suits this later hour best, and it takes longer."
    if _start(plan, "load") - _start(plan, "press") > _start(usual, "load") - _start(usual, "press"):
        return f"{said}: here it rises longer, in the bowl and in the tray."
    return f"{said}: so the waits suit the dough and your hours best."


def _start(plan: Plan, kind: StepKind) -> int:
    return next(step.start for step in plan.steps if step.kind == kind)


def doing(stands: Retimed, plan: Plan, style: ClockStyle, now: int, met: Meets | None = None) -> str:
    """ "17:55: Press out (home by 18:10 at the latest); supper 19:30": what is next in a bake on the go.

    `met`: as it is still to be come home to.
    """
    steps = {step.step_id: step for step in plan.steps}
    timed = next((one for one in stands.steps if one.step_id == stands.current), None)
    supper = f"supper {day_clock(stands.eat_at, plan.zone, style, now)}"
    if timed is None:
        return supper
    step = steps[timed.step_id]
    if asked := untold_words(stands, plan, style, now):
        return asked
    when = "now" if timed.start <= now else day_clock(timed.start, plan.zone, style, now)
    by = f" ({late_words(met, style, timed.start)})" if met and met.met == step.kind else ""
    return f"{when}: {plain_title(step)}{by}; {supper}"


def untold_words(stands: Retimed, plan: Plan, style: ClockStyle, now: int) -> str:
    """What is asked before any supper is told: "Has it been in the fridge since 07:30?"; "" where nothing is.

    Most likely it is there, or there is none: only nobody has said so, and no supper hangs on this minute.
    """
    step = next((one for one in plan.steps if one.step_id == stands.current and one.kind in UNTOLD), None)
    if step is None or now - step.start <= UNTOLD_S:
        return ""
    return UNTOLD[step.kind].format(at=day_clock(step.start, plan.zone, style, now))


def come_words(day: Meets, style: ClockStyle) -> str:
    """Between when and when to come, and what is shorter at the end of it; "" where no rise waits for who comes."""
    if day.between is None:
        return ""
    plan, (since, until) = day.plan, day.between
    doing = "Come" if day.from_away else sentence(TO_DO[day.met])
    late = clock(until, plan.zone, style)
    # A dough that is ready in the night waits for nobody's coming by then.
    when = f"between {clock(five(since), plan.zone, style)} and {late}" if until - since < LONG_S else f"by {late}"
    out = f"{doing} {when}: supper stays at {clock(day.retimed.supper, plan.zone, style)}."
    if day.proofs:
        usual, least = day.proofs
        begun = next(one.start for one in day.retimed.steps if one.step_id == _met_id(plan, day.met))
        out += f" From {clock(begun, plan.zone, style)} it proofs {duration(usual)} in the pan,"
        out += f" from {late} only {duration(least)}."
    return out


def _met_id(plan: Plan, kind: StepKind) -> str:
    return next(step.step_id for step in plan.steps if step.kind == kind)


def latest_words(day: Meets, style: ClockStyle) -> str:
    """What coming home late means: until when supper stands, and until when the dough is likely good."""
    plan = day.plan
    late = clock(day.home_by, plan.zone, style)
    past = next((step.past_at for step in day.retimed.steps if step.past_at), 0)
    past = min(past, plan.supper) if plan.dough_perishes else past  # as the bar in its picture
    out = come_words(day, style) or f"Until {late} supper stays at {clock(day.retimed.supper, plan.zone, style)}."
    out += " Later than that, supper moves"
    if past <= day.home_by:
        return f"{out}."
    out += f"; the dough itself is likely good until about {clock_beside(five(past), plan.zone, style, plan.supper)}"
    sure = plan.trade.slack_sure_s < plan.trade.slack_s
    return f"{out}, sooner when it is a quick one." if sure else f"{out}."


def fridge_words(other: Plan, start: int, end: int, zone: str, style: ClockStyle, now: int) -> str:
    """That another bake's dough stands in the fridge from `start` to `end`, beside this one's."""
    since = f"from {day_clock(start, zone, style, now)} " if start > now else ""
    until = clock_beside(end, zone, style, start) if start > now else day_clock(end, zone, style, now)
    whose = f"{other.formula_name} for {day_name(other.supper, zone, now)}"
    return f"{whose} is in the fridge too, {since}until {until}: it needs room for both."
