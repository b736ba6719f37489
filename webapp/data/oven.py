"""Reads the data of the oven (gas marks, slabs) into records. Each is read once and kept."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from webapp.core.kinds import SlabKind
from webapp.data.read import table, without


@dataclass(frozen=True)
class GasMark:
    """One line of the conversion table as recipes print it."""

    mark: str
    fahrenheit: float
    printed_low_c: float
    printed_high_c: float


@dataclass(frozen=True)
class SlabChoice:
    """A slab that the oven profile offers."""

    key: str
    name: str
    slab: SlabKind
    mm: float
    width_cm: float
    depth_cm: float
    note: str


@cache
def gas_marks() -> tuple[GasMark, ...]:
    """Gas marks 1/4 to 10 with nominal Fahrenheit and printed Celsius."""
    return tuple(
        GasMark(row["mark"], float(row["fahrenheit"]), *(float(c) for c in row["printed_c"]))
        for row in table("gas_marks")["mark"]
    )


@cache
def slabs() -> tuple[SlabChoice, ...]:
    """The slabs on offer, the bare tray first."""
    return tuple(SlabChoice(**without(row, "source")) for row in table("slabs")["slab"])
