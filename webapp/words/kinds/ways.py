"""A way from here: what is done in it, and what it makes of the dough."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import WayKind, WayResult
from webapp.words.kinds.flags import PAST_BEST


def way_word(way: WayKind) -> str:
    """What is done in a way from here; "" where only the time of eating tells it."""
    match way:
        case "as-planned":
            return "Go on"
        case "on-time" | "later" | "sooner":
            return ""
        case "warm":
            return "Warm spot"
        case "cold-tray":
            return "Press, tray into the fridge"
        case "fridge":
            return "Into the fridge"
        case "bench":
            return "On the bench"
        case _:
            assert_never(way)


def result_word(result: WayResult) -> str:
    """What a way makes of the dough."""
    match result:
        case "young":
            return "young"
        case "bit-young":
            return "a bit young"
        case "best":
            return "at its best"
        case "bit-past":
            return "a bit past"
        case "past":
            return PAST_BEST
        case _:
            assert_never(result)
