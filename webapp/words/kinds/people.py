"""Why somebody cannot come, and who is needed for a step."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import BusyKind, Presence


def busy_word(kind: BusyKind) -> str:
    """Why somebody cannot come."""
    match kind:
        case "away":
            return "away"
        case "busy":
            return "busy"
        case "asleep":
            return "asleep"
        case _:
            assert_never(kind)


def need_word(presence: Presence) -> str:
    """Who is needed for a step."""
    match presence:
        case "hands":
            return "your hands"
        case "home":
            return "somebody at home"
        case "none":
            return "nobody"
        case _:
            assert_never(presence)
