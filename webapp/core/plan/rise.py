"""All that is needed to follow a dough: its rate table, its surroundings, its band.

The functions are the twin of static/js/plan/rise.js: change both or neither. Twin rules: lists, comparison, + - * / and
truncation only; same names and order in both languages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from webapp.core.kinds import BeyondKind, HeatedPlace, Place, StepVessel, Vessel


@dataclass(frozen=True)
class RateTable:
    """Progress per second of this plan's dough (its yeast, salt, sugar, this kitchen's vigour) by dough temperature.

    `rates[i]` holds at `first_c + i * step_c`; between entries interpolate linearly; past either end clamp and say
    so. Sampled by the server from core/rise/fermentation.py, so that phone and server add up the same numbers.
    """

    first_c: float
    step_c: float
    rates: tuple[float, ...]


@dataclass(frozen=True)
class RoomSpan:
    """From this instant on the kitchen is at `temp_c`."""

    start: int
    temp_c: float


@dataclass(frozen=True)
class Felt(RoomSpan):
    """A thermometer at `start`. `held`: it was so ever since, until the next one was read."""

    held: bool = False


@dataclass(frozen=True)
class Share:
    """Share of the gap to its surroundings that dough in this vessel and place closes in one 60 s step.

    share = 1 - exp(-60 / tau_s), computed by the server, so that the phone needs no exponential.
    """

    vessel: Vessel
    place: HeatedPlace
    share: float


@dataclass(frozen=True)
class GlassMark:
    """A line on a straight-sided glass: this many times the first volume means this much progress."""

    times: float
    progress: float


@dataclass(frozen=True)
class Beyond:
    """One number outside what the model was fitted on.

    `temp_c` of the dough for cold and hot; for stiff the water's `percent`, and how many times `slower` it is reckoned.
    """

    kind: BeyondKind
    temp_c: float = 0.0
    percent: float = 0.0
    slower: float = 0.0
    part: str = ""  # name of the preferment it is said of; "" = the dough


@dataclass(frozen=True)
class Rise:
    """All that is needed to follow the dough: start, surroundings, rates, band."""

    table: RateTable
    mixed_at: int  # planned instant at which progress begins (end of mixing)
    dough_c: float  # dough temperature at that instant
    room: tuple[RoomSpan, ...]  # ascending; the first covers everything before it
    fridge_c: float
    warm_c: float  # the warm spot (oven with the light on, ...)
    shares: tuple[Share, ...]
    band_low: float  # factor on every rate at the slow edge of the 80 % band, < 1
    band_high: float  # same at the quick edge, > 1
    glass: tuple[GlassMark, ...]  # ascending
    outside_range: tuple[str, ...] = ()  # shown: where the model is outside its range
    sd: float = 0.0  # of ln(this dough's rate / the table's) before anything is seen of it; 0 = as `band_high` says
    has_warm: bool = True  # is there a warm spot at all
    warm_is_oven: bool = True  # the warm spot is the oven with its light on: out before the oven is lit
    beyond: tuple[Beyond, ...] = ()
    planned_fridge_c: float | None = None  # what it was reckoned for, where the fridge was changed since; else None

    @property
    def reckoned_fridge_c(self) -> float:
        """The fridge for which times and yeast were worked out; `fridge_c` is the one that the dough stands in."""
        return self.fridge_c if self.planned_fridge_c is None else self.planned_fridge_c


def rate_at(table: RateTable, temp_c: float) -> float:
    """Progress per second, on a straight line between entries; past the ends of the table its end."""
    last = len(table.rates) - 1
    x = (temp_c - table.first_c) / table.step_c
    if x <= 0:
        return table.rates[0]
    if x >= last:
        return table.rates[last]
    i = int(x)
    return table.rates[i] + (table.rates[i + 1] - table.rates[i]) * (x - i)


def room_at(room: Sequence[RoomSpan], at: int) -> float:
    """The room at that instant; the first span covers everything before it."""
    temp_c = room[0].temp_c
    for span in room:
        if span.start <= at:
            temp_c = span.temp_c
    return temp_c


def room_path(room: Sequence[RoomSpan], readings: Sequence[RoomSpan]) -> list[RoomSpan]:
    """The planned room; from each reading on it keeps its rhythm, warmer or colder by what the reading differed."""
    out = list(room)
    for reading in readings:
        by_c = reading.temp_c - room_at(room, reading.start)
        kept = [span for span in out if span.start < reading.start]
        rest = [RoomSpan(span.start, span.temp_c + by_c) for span in room if span.start > reading.start]
        out = [*kept, reading, *rest]
    return out


def share_of(rise: Rise, vessel: StepVessel, place: Place) -> float:
    """Share of the gap closed per minute; where the plan has none for this vessel, the first one of the place."""
    out = 0.0
    for share in rise.shares:
        if share.place == place and share.vessel == vessel:
            return share.share
        if share.place == place and out == 0:
            out = share.share
    return out
