"""A way to spend a day as one line: where hands are wanted, where the dough is cold or warm, when supper is.

The tide chart without its tide, for evenings that are only looked at: same scale, same shapes, same style sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from webapp.pictures.chart import Scale
from webapp.pictures.shapes import Column, Hand, Local, Size, SupperFlag, Tick, TideChart
from webapp.words.pages import pictures

STRIP = Size("strip", 320, 6, 6, 28, 30, 0, 60)
ELSEWHERE = ("fridge", "warm", "oven")


class StripStep(Protocol):
    """What a strip needs of a step."""

    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...
    @property
    def presence(self) -> str: ...
    @property
    def place(self) -> str: ...
    @property
    def chain(self) -> bool: ...


def day_strip(steps: Sequence[StripStep], supper: int, local: Local) -> TideChart:
    """The shapes. `steps` by start, at least one."""
    first, last = steps[0].start, max(supper, steps[-1].end)
    margin = (last - first) // 50 + 300
    scale = Scale(STRIP, first - margin, last + margin, 2.0, ())
    hands = [s for s in steps if s.presence == "hands"]
    return TideChart(
        size=STRIP,
        columns=tuple(_columns(steps, scale)),
        band=(),
        line=(),
        pegs=(),
        hands=tuple(Hand(scale.x(s.start), max(5.0, scale.x(s.end) - scale.x(s.start))) for s in hands),
        hours=_hours(local, scale),
        window=None,
        now=None,
        flag=SupperFlag(scale.x(supper), "", 0.0),
        readings=(),
    )


def _columns(steps: Sequence[StripStep], scale: Scale) -> list[Column]:
    chain = [s for s in steps if s.chain]
    return [
        Column(step.place, scale.x(step.end), scale.x(following.start) - scale.x(step.end), "")
        for step, following in pairwise(chain)
        if step.place in ELSEWHERE and scale.x(following.start) - scale.x(step.end) >= 0.5
    ]


def _hours(local: Local, scale: Scale) -> tuple[Tick, ...]:
    """Hours of the wall clock along the top."""
    room = 34.0 if local.style == "24" else 58.0
    across = scale.size.width - scale.size.left - scale.size.right
    hours_wide = (scale.last - scale.first) / 3600
    step = next((h for h in (1, 2, 3, 6, 12) if across * h / hours_wide >= room), 24)
    out: list[Tick] = []
    for at in range((scale.first // 900 + 1) * 900, scale.last, 900):
        minute = local.minute(at)
        x = scale.x(at)
        if minute % (step * 60) == 0 and room / 3 < x < scale.size.width - room / 3:
            out.append(Tick(x, _hour_label(local, at, minute // 60)))
    return tuple(out)


def _hour_label(local: Local, at: int, hour: int) -> str:
    if hour == 0:
        return local.day(at)
    if local.style == "24":
        return str(hour)
    return f"{(hour + 11) % 12 + 1} {'am' if hour < 12 else 'pm'}"


def strip_words(steps: Sequence[StripStep], supper: int, local: Local) -> str:
    """The same in a sentence."""
    hands = (local.day_clock(s.start) for s in steps if s.presence == "hands")
    return pictures.strip_words(hands, local.day_clock(supper))
