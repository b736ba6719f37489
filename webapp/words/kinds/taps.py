"""What one tap on the kitchen screen says: what was seen of a dough, or of a tray in the oven."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import BakeLook, Look, Poke


def look_word(look: Look) -> str:
    """How the dough looks at pressing."""
    match look:
        case "hardly":
            return "Hardly risen"
        case "doubled":
            return "About doubled"
        case "well-over":
            return "Well over double"
        case "sinking":
            return "Sinking"
        case _:
            assert_never(look)


def poke_word(poke: Poke) -> str:
    """How a dent springs back before the oven, behind the question that says so."""
    match poke:
        case "at-once":
            return "At once"
        case "slowly":
            return "Slowly"
        case "stays":
            return "Not at all"
        case _:
            assert_never(poke)


def bake_look_word(look: BakeLook) -> str:
    """How the tray in the oven looks."""
    match look:
        case "more":
            return "2 min more"
        case "base-pale":
            return "Base pale"
        case "top-dark":
            return "Top dark"
        case _:
            assert_never(look)
