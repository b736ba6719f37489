"""The shapes of pans."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import PanShape


def shape_word(shape: PanShape) -> str:
    """Of a pan."""
    match shape:
        case "rectangle":
            return "Rectangle"
        case "round":
            return "Round"
        case "oval":
            return "Oval"
        case "measured":
            return "Any shape"
        case _:
            assert_never(shape)


def pan_word(shape: PanShape) -> str:
    """What a pan of this shape without a name of its own is called; its size follows."""
    match shape:
        case "rectangle":
            return "Rectangle"
        case "round":
            return "Round pan"
        case "oval":
            return "Oval"
        case "measured":
            return "Measured pan"
        case _:
            assert_never(shape)
