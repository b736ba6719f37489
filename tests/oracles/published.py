"""The published doughs with their stated times (`published_doughs.csv`; each row names its source and its quality)."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from pathlib import Path

from webapp.core.rise.fermentation import DoughMake, Leg, RiseResult, rise

FILE = Path(__file__).with_name("published_doughs.csv")


@dataclass(frozen=True)
class Published:
    """One published formula and its stated hours until ready."""

    row: str
    quality: str
    source: str
    make: DoughMake
    dough_c: float
    legs: tuple[Leg, ...]
    increase: float
    low_h: float
    high_h: float

    @property
    def stated_h(self) -> float:
        """The middle of the stated hours, by ratio."""
        return math.sqrt(self.low_h * self.high_h)

    def predicted(self) -> RiseResult:
        """What the model says of it."""
        return rise(self.make, self.dough_c, self.legs, self.increase)

    def error_ln(self) -> float:
        """ln(predicted / stated)."""
        return math.log(self.predicted().ready_s / 3600 / self.stated_h)


def published(quality: str = "ABC") -> list[Published]:
    """All rows of these qualities (A: book, standard or professional text; B: known kitchen; C: unvetted page)."""
    with FILE.open(encoding="utf-8") as file:
        return [_published(row) for row in csv.DictReader(file) if row["quality"] in quality]


def _published(row: dict[str, str]) -> Published:
    make = DoughMake(
        float(row["instant_eq_pct"]), float(row["salt_pct"]), float(row["sugar_pct"]), float(row["oil_pct"]),
        float(row["hydration_pct"]),
    )  # fmt: skip
    tau_s = float(row["tau_h"]) * 3600
    legs = tuple(_leg(text.strip(), tau_s) for text in row["stages"].split(";"))
    return Published(
        row["id"],
        row["quality"],
        row["source"],
        make,
        float(row["dough_start_c"]),
        legs,
        float(row["volume_increase"]),
        float(row["stated_h_low"]),
        float(row["stated_h_high"]),
    )


def _leg(text: str, tau_s: float) -> Leg:
    temp, _, how_long = text.partition(" C ")
    return Leg(float(temp), None if how_long == "until ready" else float(how_long.split()[0]) * 3600, tau_s)
