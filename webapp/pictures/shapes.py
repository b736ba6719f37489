"""What the tide chart is made of: the shapes that `chart.py` lays out and `svg.py` draws.

All places are in units of the picture (x to the right, y downwards), all instants are UTC seconds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from webapp.core.kinds import ClockStyle


@dataclass(frozen=True)
class Local:
    """How instants read here."""

    clock: Callable[[int], str]  # "19:30"; in style "12" "7:30 pm"
    day_clock: Callable[[int], str]  # "Thursday 19:30"
    minute: Callable[[int], int]  # minutes after local midnight
    day: Callable[[int], str]  # "Thu"
    face: Callable[[int], str]  # "19:30"; in style "12" "7:30": where there is room for nothing more
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
    words: bool  # zones, columns and pegs are named
    axis: bool  # the marks of the glass stand at the left
    slot: float  # room of one peg

    @property
    def base(self) -> float:
        """Where the rise is nought."""
        return self.top + self.plot

    @property
    def height(self) -> float:
        """Of the whole picture."""
        return self.base + (96 if self.words else 20)


NARROW = Size("narrow", 320, 6, 6, 28, 190, True, False, 62)
WIDE = Size("wide", 660, 52, 14, 28, 230, True, True, 64)
SMALL = Size("small", 320, 6, 6, 28, 104, False, False, 60)
SIZES = {size.key: size for size in (NARROW, WIDE, SMALL)}


@dataclass(frozen=True)
class Column:
    """A stretch of time: away, asleep, busy, fridge, warm, oven."""

    kind: str
    x: float
    width: float
    label: str  # "" when it would not fit


@dataclass(frozen=True)
class Zone:
    """early | best | past, between two heights, as long as that mark is the one that counts."""

    kind: str
    x: float
    y: float
    width: float
    height: float
    label: str


@dataclass(frozen=True)
class Peg:
    """A step along the bottom: its true place, its place in the row of pictures, its picture and time."""

    step_id: str
    kind: str
    x: float
    slot: float
    time: str
    status: str  # open | due | done


@dataclass(frozen=True)
class Hand:
    """Where somebody's hands are wanted."""

    x: float
    width: float


@dataclass(frozen=True)
class Tick:
    """An hour of the wall clock along the top, or a mark of the glass at the left."""

    at: float
    label: str


@dataclass(frozen=True)
class Window:
    """From early to past its best, if the dough is left as it is: the time it waits for the person."""

    x: float
    best: float
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
    zones: tuple[Zone, ...]
    band: tuple[tuple[float, float], ...]
    line: tuple[tuple[float, float], ...]
    dots: tuple[tuple[float, float], ...]
    pegs: tuple[Peg, ...]
    hands: tuple[Hand, ...]
    hours: tuple[Tick, ...]
    glass: tuple[Tick, ...]
    window: Window | None
    now: float | None
    flag: float
    readings: tuple[Reading, ...]
