"""Reads what can go wrong, and why, into core records. Each is read once and kept; the sources of causes are shown."""

from __future__ import annotations

from functools import cache

from webapp.core.learning.diagnosis import CauseRule, Evidence, Sign, Suggestion
from webapp.data.read import table


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
            Suggestion(**row["change"]),
            tuple(Evidence(**one) for one in row.get("evidence", ())),
        )
        for row in table("trouble")["cause"]
    )
