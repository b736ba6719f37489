"""Which fields each section of the kitchen's settings has, with their words, help and units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.core.kinds import (
    BULK_VESSELS,
    CLOCK_STYLES,
    DIAL_UNITS,
    HEAT_UNITS,
    MASS_UNITS,
    MIXINGS,
    OVEN_FUNCTIONS,
    PAN_SHAPES,
    SLAB_KINDS,
    YEAST_KINDS,
)
from webapp.core.kitchen import Kitchen
from webapp.data import safety
from webapp.forms import kitchen as answers
from webapp.forms import pans
from webapp.web import forms
from webapp.words.kinds.dough import mixing_word, vessel_word, yeast_word
from webapp.words.kinds.oven import dial_word, function_word, slab_word
from webapp.words.kinds.pans import shape_word
from webapp.words.kinds.settings import unit_word
from webapp.words.plan.oven import usual_thickness_words


@dataclass(frozen=True)
class FieldLine:
    """A field as the page shows it."""

    field: Any
    help: str = ""
    unit: str = ""


def _scale_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    heat = f"°{kitchen.heat_unit}"
    steps = [(one, f"{one} {kitchen.mass_unit}") for one in answers.SCALE_STEPS[kitchen.mass_unit]]
    fine = [("0", "I have none"), *((one, f"{one} g") for one in answers.MICRO_STEPS[1:])]
    return {
        "scale_step": FieldLine(forms.one_of("The kitchen scale shows steps of", steps)),
        "micro_step": FieldLine(forms.one_of("A fine scale shows steps of", fine), "For the yeast."),
        "has_spoons": FieldLine(forms.tick("There are measuring spoons")),
        "yeast_kind": FieldLine(forms.one_of("Yeast in the cupboard", forms.choices(YEAST_KINDS, yeast_word))),
        "mixing": FieldLine(forms.one_of("I mix", forms.choices(MIXINGS, mixing_word))),
        "mixing_rise": FieldLine(
            forms.number("Mixing warms the dough by"), "By hand about one degree; a mixer more.", heat
        ),
        "vessel": FieldLine(forms.one_of("The dough rises in", forms.choices(BULK_VESSELS, vessel_word))),
        "tap": FieldLine(forms.number("Cold water from the tap"), "", heat),
    }


def _oven_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    heat, length = f"°{kitchen.heat_unit}", "in" if kitchen.mass_unit == "oz" else "cm"
    return {
        "function": FieldLine(forms.one_of("What is usually on", forms.choices(OVEN_FUNCTIONS, function_word))),
        "dial_unit": FieldLine(forms.one_of("The dial shows", forms.choices(DIAL_UNITS, dial_word))),
        "highest": FieldLine(forms.number("It goes up to"), "", heat),
        "slab": FieldLine(forms.one_of("The tray stands on", forms.choices(SLAB_KINDS, slab_word))),
        "slab_mm": FieldLine(forms.number("Slab, thickness"), usual_thickness_words(), "mm"),
        "slab_width": FieldLine(forms.number("Slab, width"), "Leave empty if you do not know.", length),
        "slab_depth": FieldLine(forms.number("Slab, depth"), "", length),
        "shelves": FieldLine(forms.count("Shelf heights")),
        "trays_at_once": FieldLine(forms.count("Trays that bake well at once")),
        "power_w": FieldLine(forms.number("Power"), "On the plate at the door, if you care to look.", "W"),
        "measured_preheat": FieldLine(forms.count("Hot enough after"), "Empty: worked out for you.", "min"),
        "dial_error": FieldLine(forms.number("Thermometer minus dial"), "0 if never measured.", heat),
    }


def _warmth_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    heat = f"°{kitchen.heat_unit}"
    lines = {}
    for place in range(min(len(kitchen.room) + 1, answers.MOST_PARTS)):
        lines[f"from-{place}"] = FieldLine(forms.clock("From"))
        lines[f"temp-{place}"] = FieldLine(forms.number("Kitchen"), "", heat)
    lines["fridge"] = FieldLine(forms.number("Fridge, where the dough stands"), "", heat)
    warm = "The oven with only its light on, a shelf over the boiler."
    lines["has_warm_spot"] = FieldLine(forms.tick("There is a warm spot"), warm)
    lines["warm"] = FieldLine(forms.number("The warm spot"), "", heat)
    oven = "Then the dough comes out before the oven is lit; elsewhere it may stay until it is topped."
    lines["warm_is_oven"] = FieldLine(forms.tick("The warm spot is the oven"), oven)
    return lines


def _units_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    del kitchen
    lines = {
        "mass_unit": FieldLine(forms.one_of("Weights in", forms.choices(MASS_UNITS, unit_word))),
        "heat_unit": FieldLine(forms.one_of("Temperatures in", forms.choices(HEAT_UNITS, unit_word))),
        "clock": FieldLine(forms.one_of("Clock", forms.choices(CLOCK_STYLES, unit_word))),
        "zone": FieldLine(forms.text("Time zone", list="zones"), "Like Europe/Lisbon."),
    }
    return lines | {f"avoid-{one.key}": FieldLine(forms.tick(one.short)) for one in safety.allergens()}


def _new_pan() -> FieldLine:
    return FieldLine(forms.text("Name", list="common-pans"), "A common pan brings its size along.")


def _pan_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    length = "in" if kitchen.mass_unit == "oz" else "cm"
    lines = {}
    for place in range(min(len(kitchen.pans) + 1, pans.MOST_PANS)):
        new = place >= len(kitchen.pans)
        lines[f"{place}-name"] = _new_pan() if new else FieldLine(forms.text("Name"))
        lines[f"{place}-shape"] = FieldLine(forms.one_of("Shape", forms.choices(PAN_SHAPES, shape_word, "–")))
        lines[f"{place}-length"] = FieldLine(forms.number("Length, or across"), "", length)
        lines[f"{place}-width"] = FieldLine(forms.number("Width"), "", length)
        lines[f"{place}-water_g"] = FieldLine(forms.number("Water, 1 cm deep"), "", kitchen.mass_unit)
        if not new:
            lines[f"{place}-gone"] = FieldLine(forms.tick("This pan is gone"))
    return lines


LINES = {
    "scale": _scale_lines,
    "pans": _pan_lines,
    "oven": _oven_lines,
    "warmth": _warmth_lines,
    "units": _units_lines,
}
