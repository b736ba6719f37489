"""A way to spend a day as one line: where hands are wanted, where the dough is cold or warm, when supper is.

The tide chart without its tide, for evenings that are only looked at: same scale, same shapes, same style sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from webapp.pictures.chart import Scale, hours
from webapp.pictures.shapes import Column, Hand, Local, Size, TideChart

STRIP = Size("strip", 320, 6, 6, 28, 30, False, False, 60)
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
        zones=(),
        band=(),
        line=(),
        dots=(),
        pegs=(),
        hands=tuple(Hand(scale.x(s.start), max(5.0, scale.x(s.end) - scale.x(s.start))) for s in hands),
        hours=hours(local, scale, -99.0),
        glass=(),
        window=None,
        now=None,
        flag=scale.x(supper),
        readings=(),
    )


def _columns(steps: Sequence[StripStep], scale: Scale) -> list[Column]:
    chain = [s for s in steps if s.chain]
    return [
        Column(step.place, scale.x(step.end), scale.x(following.start) - scale.x(step.end), "")
        for step, following in pairwise(chain)
        if step.place in ELSEWHERE and scale.x(following.start) - scale.x(step.end) >= 0.5
    ]


def strip_words(steps: Sequence[StripStep], supper: int, local: Local) -> str:
    """The same in a sentence."""
    times = ", ".join(local.day_clock(s.start) for s in steps if s.presence == "hands")
    return f"Hands are wanted at {times}. Supper at {local.day_clock(supper)}."
