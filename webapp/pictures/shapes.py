"""What the tide chart is made of: the shapes that `chart.py` lays out and `svg.py` draws.

All places are in units of the picture (x to the right, y downwards), all instants are UTC seconds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from webapp.core.kinds import ClockStyle, PegStatus


@dataclass(frozen=True)
class Local:
    """How instants read here."""

    clock: Callable[[int], str]  # "19:30"; in style "12" "7:30 pm"
    day_clock: Callable[[int], str]  # "Thursday 19:30"
    minute: Callable[[int], int]  # minutes after local midnight
    day: Callable[[int], str]  # "Thu"
    face: Callable[[int], str]  # "19:30"; in style "12" "7:30": beside a time that says which half of the day
    style: ClockStyle = "24"


@dataclass(frozen=True)
class Size:
    """A way of drawing: units of the picture, one unit is about one CSS pixel on the smallest screen it is for."""

    key: str
    width: float
    left: float
    right: float
    top: float
    plot: float  # height of the rise
    pegs: int  # so many steps are told of below, at most
    slot: float  # room of one of them

    @property
    def base(self) -> float:
        """Where the rise is nought."""
        return self.top + self.plot

    @property
    def height(self) -> float:
        """Of the whole picture."""
        return self.base + (82 if self.pegs else 20)


NARROW = Size("narrow", 320, 6, 6, 28, 120, 4, 62)
WIDE = Size("wide", 660, 14, 14, 28, 186, 5, 74)
SMALL = Size("small", 320, 6, 6, 8, 88, 4, 62)
SIZES = {size.key: size for size in (NARROW, WIDE, SMALL)}


@dataclass(frozen=True)
class Column:
    """A stretch of time: away, asleep, busy, fridge, warm, oven."""

    kind: str
    x: float
    width: float
    label: str  # "" when it would not fit


@dataclass(frozen=True)
class Peg:
    """When somebody comes: its true place, its place in the row of words, its time and what is done first."""

    step_id: str
    kind: str
    x: float
    slot: float
    time: str
    word: str
    status: PegStatus


@dataclass(frozen=True)
class Hand:
    """From when until when somebody is wanted."""

    x: float
    width: float


@dataclass(frozen=True)
class Tick:
    """An hour of the wall clock along the top."""

    at: float
    label: str


@dataclass(frozen=True)
class Window:
    """From early to past its best, or to supper: the time that the dough waits for the person; and its words."""

    x: float
    end: float
    label: str
    label_x: float  # where the piece of bar before the words begins


@dataclass(frozen=True)
class SupperFlag:
    """Supper: its place, when it is, and where those words end; they lie left of the flag, in its height."""

    x: float
    words: str
    end: float


@dataclass(frozen=True)
class Reading:
    """What the readout says of one instant."""

    at: int
    x: float
    times: float
    low: float
    high: float
    dough_c: float


@dataclass(frozen=True)
class TideChart:
    """All that is drawn, in units of its size."""

    size: Size
    columns: tuple[Column, ...]
    band: tuple[tuple[float, float], ...]
    line: tuple[tuple[float, float], ...]
    pegs: tuple[Peg, ...]
    hands: tuple[Hand, ...]
    hours: tuple[Tick, ...]
    window: Window | None
    now: float | None
    flag: SupperFlag
    readings: tuple[Reading, ...]
