"""The shapes of pans."""

from __future__ import annotations

from typing import assert_never

from webapp.core.kinds import PanMeasure, PanShape


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


ON_TRAY = "Tray"  # what is shaped by hand, without a pan


def on_tray(size: str) -> str:
    """Such a one by its size, which is given in words."""
    return f"{ON_TRAY}, a round of {size} on it"


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


def measure_word(measure: PanMeasure) -> str:
    """What is measured of a pan, as it is asked for."""
    match measure:
        case "length":
            return "Length, or across"
        case "width":
            return "Width"
        case "water_g":
            return "Water, 1 cm deep"
        case _:
            assert_never(measure)


def measure_said(measure: PanMeasure) -> str:
    """The same in a sentence."""
    match measure:
        case "length" | "width":
            return measure
        case "water_g":
            return "water"
        case _:
            assert_never(measure)
