"""Write the twins' vectors again: `python -m tests.golden.write`, after a change that is meant to change results.

These vectors are no oracle (tests/core/now/test_walk.py and test_retime.py count by hand and against SciPy). They hold
the two languages and all versions together: a bake begun under one version finishes under it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.made_up import made_up
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.now.ways import ways
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Plan
from webapp.records import to_plain

FILE = Path(__file__).parent / "twins.json"
NUMBERS = (
    9,
    36,
    52,
    67,
    68,
    85,
    90,
    93,
    111,
    120,
    121,
    192,
    240,
    450,
    486,
    575,
    1546,
)  # every flag, every way, every edge of the numbers, a way that was taken, what is out of the fridge too long


def vector(n: int, later_s: int = 0) -> dict[str, Any]:
    """Made-up bake number n, looked at so much later: what goes in, and what Python makes of it."""
    plan, events, now = made_up(n)
    return vector_of(n, plan, events, now + later_s)


def vector_of(n: int, plan: Plan, events: list[Event], now: int) -> dict[str, Any]:
    """The same of any plan and journal."""
    state = fold(plan, events)
    return {
        "n": n,
        "now": now,
        "plan": to_plain(plan),
        "events": to_plain(events),
        "state": to_plain(state),
        "retimed": to_plain(retime(plan, state, now)),
        "ways": to_plain(ways(plan, state, now)),
    }


if __name__ == "__main__":
    FILE.write_text(json.dumps([vector(n) for n in NUMBERS], separators=(",", ":")) + "\n", encoding="utf-8")
