"""The shapes of pans, and how thick a dough lies in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import assert_never

from webapp.core.kinds import MassUnit, PanMeasure, PanShape
from webapp.core.plan.tray import Pan
from webapp.core.units import oz_in2_from_g_cm2
from webapp.words.lists import joined

# Of a supper each, in cm2 of the pan: a round of 10 inches is for one, one of 12 is shared by two (common practice).
HUNGRY_CM2 = 550.0
SHARED_CM2 = 365.0


def feeds(area_cm2: float) -> str:
    """For how many a pan is supper, the hungry and the others: "2 or 3", "5 to 8"."""
    least, most = (max(1, round(area_cm2 / each)) for each in (HUNGRY_CM2, SHARED_CM2))
    return str(least) if least == most else f"{least} {'or' if most == least + 1 else 'to'} {most}"


def counted(names: Iterable[tuple[str, int]]) -> str:
    """Pans by how many of each there are: "2 × Oven tray and Round pan"."""
    return joined(f"{count} × {name}" if count > 1 else name for name, count in names)


def pans_in_full(pans: Sequence[Pan]) -> str:
    """Each with its size: "2 × Oven tray 38 x 28 cm and Round pan 28 cm"."""
    return counted((pan.name, pan.count) for pan in pans)


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


LOADING = "Dough on the tray"


def loading_mass(g_cm2: float, unit: MassUnit = "g") -> str:
    """What lies on one square of the pan's floor: "0.70 g" on a square centimetre, "0.16 oz" on a square inch."""
    return f"{g_cm2 if unit == 'g' else oz_in2_from_g_cm2(g_cm2):.2f} {unit}"


def loading_words(g_cm2: float, unit: MassUnit = "g") -> str:
    """How thick the dough lies: "0.70 g on each cm²", "0.16 oz on each in²"."""
    return f"{loading_mass(g_cm2, unit)} on each {'cm²' if unit == 'g' else 'in²'}"


def loading_sentence(g_cm2: float, unit: MassUnit = "g") -> str:
    """The same where there is room: "0.70 g of dough on each square centimetre of the tray"."""
    square = "square centimetre" if unit == "g" else "square inch"
    return f"{loading_mass(g_cm2, unit)} of dough on each {square} of the tray"
