"""Reads the data of the last hour (gas marks, slabs, toppings, allergens, cautions, trouble) into core records.

Each is read once and kept; nothing is written. Rows carry their sources for people who read the files; the sources
that are shown (cautions, causes) are part of the records.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from webapp.core.errors import PlanError
from webapp.core.formula.allergens import Allergen
from webapp.core.formula.toppings import Rim, ToppingItem, ToppingSet
from webapp.core.kinds import SlabKind
from webapp.core.learning.diagnosis import CauseRule, Change, Evidence, Sign
from webapp.core.now.cautions import CautionRule
from webapp.data.doughs import table


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
    return tuple(SlabChoice(**_without(row, "source")) for row in table("slabs")["slab"])


def _without(row: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {key: value for key, value in row.items() if key not in names}


@cache
def topping_sets() -> dict[str, ToppingSet]:
    """The shipped sets by key, in the order of the file. `like` takes items and rim of a set before it."""
    rows = {row["key"]: row for row in table("toppings")["set"]}
    return {key: _set({**rows.get(row.get("like", ""), {}), **row}) for key, row in rows.items()}


def topping_set(key: str) -> ToppingSet:
    """A shipped set ("" = nothing on top). Raises PlanError at "toppings_key"."""
    sets = topping_sets()
    if (key or "none") not in sets:
        raise PlanError.at("toppings_key", f"There is no set of toppings “{key}”.", "Pick one from the list.")
    return sets[key or "none"]


def _set(row: Mapping[str, Any]) -> ToppingSet:
    rim = row.get("rim")
    return ToppingSet(
        row["key"],
        row["name"],
        tuple(_item(item) for item in row.get("item", ())),
        Rim(**{**rim, "allergens": tuple(rim["allergens"])}) if rim else None,
        row["note"],
        row.get("rim_on", False),
    )


def _item(row: Mapping[str, Any]) -> ToppingItem:
    loads = dict(row["g_cm2"])
    rest = _without(row, "g_cm2", "allergens")
    return ToppingItem(
        g_cm2_else=loads.pop("else"),
        g_cm2=tuple(loads.items()),
        allergens=tuple(row.get("allergens", ())),
        **rest,
    )


@cache
def allergens() -> tuple[Allergen, ...]:
    """The EU's 14 in the order of Annex II, with the US's names."""
    return tuple(Allergen(**row) for row in table("allergens")["allergen"])


@cache
def caution_rules() -> tuple[CautionRule, ...]:
    """All cautions."""
    return tuple(CautionRule(**{**row, "steps": tuple(row.get("steps", ()))}) for row in table("cautions")["caution"])


@cache
def signs() -> tuple[Sign, ...]:
    """What can be ticked after a bake."""
    return tuple(Sign(**row) for row in table("trouble")["sign"])


@cache
def cause_rules() -> tuple[CauseRule, ...]:
    """Causes in the order of the file, which breaks ties."""
    return tuple(
        CauseRule(
            row["key"],
            row["text"],
            row["source"],
            tuple((sign, float(weight)) for sign, weight in row["signs"].items()),
            Change(**row["change"]),
            tuple(Evidence(**one) for one in row.get("evidence", ())),
        )
        for row in table("trouble")["cause"]
    )
