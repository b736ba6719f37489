"""Reads allergens and cautions into core records. Each is read once and kept; the sources of cautions are shown."""

from __future__ import annotations

from functools import cache

from webapp.core.safety.allergens import Allergen
from webapp.core.safety.cautions import CautionRule
from webapp.data.read import table, without


@cache
def allergens() -> tuple[Allergen, ...]:
    """The EU's 14 in the order of Annex II, with the US's names."""
    return tuple(
        Allergen(**{**row, "names": tuple(row["names"]), "but": tuple(row.get("but", ()))})
        for row in table("allergens")["allergen"]
    )


@cache
def plain_names() -> tuple[tuple[str, ...], frozenset[str]]:
    """What is one thing and has none of them, the longest names first; words that change nothing beside such a name."""
    read = table("allergens")
    return tuple(sorted(read["plain"], key=len, reverse=True)), frozenset(read["plain_beside"])


@cache
def caution_rules() -> tuple[CautionRule, ...]:
    """All cautions: where and when each is said. What they say is read by words/cautions.py."""
    return tuple(
        CautionRule(**{**without(row, "text", "source"), "steps": tuple(row.get("steps", ()))})
        for row in table("cautions")["caution"]
    )
