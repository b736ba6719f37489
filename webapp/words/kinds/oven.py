"""The oven: what is done at it, what it heats with, what its dial shows, what the tray stands on."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import DialUnit, OvenFunction, OvenKind, SlabKind


def oven_word(action: OvenKind) -> str:
    """A line of the bake programme at a glance."""
    match action:
        case "load":
            return "in"
        case "turn-down":
            return "turn down"
        case "check":
            return "look at the base"
        case "turn":
            return "turn it round"
        case "lift":
            return "out"
        case _:
            assert_never(action)


def function_word(function: OvenFunction) -> str:
    """How the oven heats."""
    match function:
        case "still":
            return "Top and bottom heat"
        case "fan":
            return "The fan"
        case _:
            assert_never(function)


def dial_word(unit: DialUnit) -> str:
    """What the oven's dial shows."""
    match unit:
        case "C":
            return "°C"
        case "F":
            return "°F"
        case "gas":
            return "Gas marks"
        case _:
            assert_never(unit)


def slab_word(slab: SlabKind) -> str:
    """What the tray stands on."""
    match slab:
        case "tray":
            return "The baking tray alone"
        case "steel":
            return "A steel"
        case "stone":
            return "A stone"
        case "cast-iron":
            return "Cast iron"
        case _:
            assert_never(slab)
