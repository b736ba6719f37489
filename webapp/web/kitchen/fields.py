"""Which fields each section of the kitchen's settings has, with their words, help and units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.core.kitchen import Kitchen
from webapp.data import safety
from webapp.forms import kitchen as answers
from webapp.web import forms

_SHAPES = (("", "–"), ("rectangle", "Rectangle"), ("round", "Round"), ("oval", "Oval"), ("measured", "Any shape"))


@dataclass(frozen=True)
class Line:
    """A field as the page shows it."""

    field: Any
    help: str = ""
    unit: str = ""


def _scale_lines(kitchen: Kitchen) -> dict[str, Line]:
    heat = f"°{kitchen.heat_unit}"
    steps = [(one, f"{one} {kitchen.mass_unit}") for one in answers.SCALE_STEPS[kitchen.mass_unit]]
    fine = [("0", "I have none"), *((one, f"{one} g") for one in answers.MICRO_STEPS[1:])]
    ways = (("hand", "By hand"), ("mixer", "With a mixer"), ("processor", "In a food processor"))
    yeasts = (("instant", "Instant"), ("active-dry", "Active dry"), ("fresh", "Fresh"))
    return {
        "scale_step": Line(forms.one_of("The kitchen scale shows steps of", steps)),
        "micro_step": Line(forms.one_of("A fine scale shows steps of", fine), "For the yeast."),
        "has_spoons": Line(forms.tick("There are measuring spoons")),
        "yeast_kind": Line(forms.one_of("Yeast in the cupboard", yeasts)),
        "mixing": Line(forms.one_of("I mix", ways)),
        "mixing_rise": Line(forms.number("Mixing warms the dough by"), "By hand about one degree; a mixer more.", heat),
        "vessel": Line(forms.one_of("The dough rises in", (("bowl", "A bowl"), ("tub", "A tub with a lid")))),
        "tap": Line(forms.number("Cold water from the tap"), "", heat),
    }


def _oven_lines(kitchen: Kitchen) -> dict[str, Line]:
    heat, length = f"°{kitchen.heat_unit}", "in" if kitchen.mass_unit == "oz" else "cm"
    slabs = (("tray", "The baking tray alone"), ("steel", "A steel"), ("stone", "A stone"), ("cast-iron", "Cast iron"))
    return {
        "fan": Line(forms.tick("The fan is usually on")),
        "dial_unit": Line(forms.one_of("The dial shows", (("C", "°C"), ("F", "°F"), ("gas", "Gas marks")))),
        "highest": Line(forms.number("It goes up to"), "", heat),
        "slab": Line(forms.one_of("The tray stands on", slabs)),
        "slab_mm": Line(forms.number("Slab, thickness"), "", "mm"),
        "slab_width": Line(forms.number("Slab, width"), "Leave empty if you do not know.", length),
        "slab_depth": Line(forms.number("Slab, depth"), "", length),
        "shelves": Line(forms.count("Shelf heights")),
        "trays_at_once": Line(forms.count("Trays that bake well at once")),
        "power_w": Line(forms.number("Power"), "On the plate at the door, if you care to look.", "W"),
        "measured_preheat": Line(forms.count("Hot enough after"), "Measured by you; empty: reckoned.", "min"),
        "dial_error": Line(forms.number("Thermometer minus dial"), "0 if never measured.", heat),
    }


def _warmth_lines(kitchen: Kitchen) -> dict[str, Line]:
    heat = f"°{kitchen.heat_unit}"
    lines = {}
    for place in range(min(len(kitchen.room) + 1, answers.MOST_PARTS)):
        lines[f"from-{place}"] = Line(forms.clock("From"))
        lines[f"temp-{place}"] = Line(forms.number("Kitchen"), "", heat)
    lines["fridge"] = Line(forms.number("Fridge, where the dough stands"), "", heat)
    warm = "The oven with only its light on, a shelf over the boiler."
    lines["has_warm_spot"] = Line(forms.tick("There is a warm spot"), warm)
    lines["warm"] = Line(forms.number("The warm spot"), "", heat)
    return lines


def _units_lines(kitchen: Kitchen) -> dict[str, Line]:
    del kitchen
    lines = {
        "mass_unit": Line(forms.one_of("Weights in", (("g", "Grams"), ("oz", "Ounces")))),
        "heat_unit": Line(forms.one_of("Temperatures in", (("C", "Celsius"), ("F", "Fahrenheit")))),
        "clock": Line(forms.one_of("Clock", (("24", "19:30"), ("12", "7:30 pm")))),
        "zone": Line(forms.text("Time zone", list="zones"), "Like Europe/Lisbon."),
    }
    return lines | {f"avoid-{one.key}": Line(forms.tick(one.short)) for one in safety.allergens()}


def _pan_lines(kitchen: Kitchen) -> dict[str, Line]:
    length = "in" if kitchen.mass_unit == "oz" else "cm"
    lines = {}
    for place in range(min(len(kitchen.pans) + 1, answers.MOST_PANS)):
        lines[f"{place}-name"] = Line(forms.text("Name"))
        lines[f"{place}-shape"] = Line(forms.one_of("Shape", _SHAPES))
        lines[f"{place}-length"] = Line(forms.number("Length, or across"), "", length)
        lines[f"{place}-width"] = Line(forms.number("Width"), "", length)
        lines[f"{place}-water_g"] = Line(forms.number("Water, 1 cm deep"), "", "g")
        if place < len(kitchen.pans):
            lines[f"{place}-gone"] = Line(forms.tick("This pan is gone"))
    return lines


LINES = {
    "scale": _scale_lines,
    "pans": _pan_lines,
    "oven": _oven_lines,
    "warmth": _warmth_lines,
    "units": _units_lines,
}
