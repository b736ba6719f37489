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
from webapp.words.kinds.pans import measure_word, shape_word
from webapp.words.kinds.settings import unit_word
from webapp.words.pages.kitchen import NO_FINE_SCALE, SETTING_ASKED, SETTING_HELP
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
    fine = [("0", NO_FINE_SCALE), *((one, f"{one} g") for one in answers.MICRO_STEPS[1:])]
    return {
        "scale_step": FieldLine(forms.one_of(SETTING_ASKED["scale_step"], steps)),
        "micro_step": FieldLine(forms.one_of(SETTING_ASKED["micro_step"], fine), SETTING_HELP["micro_step"]),
        "has_spoons": FieldLine(forms.tick(SETTING_ASKED["has_spoons"])),
        "yeast_kind": FieldLine(forms.one_of(SETTING_ASKED["yeast_kind"], forms.choices(YEAST_KINDS, yeast_word))),
        "mixing": FieldLine(forms.one_of(SETTING_ASKED["mixing"], forms.choices(MIXINGS, mixing_word))),
        "mixing_rise": FieldLine(forms.number(SETTING_ASKED["mixing_rise"]), SETTING_HELP["mixing_rise"], heat),
        "vessel": FieldLine(forms.one_of(SETTING_ASKED["vessel"], forms.choices(BULK_VESSELS, vessel_word))),
        "tap": FieldLine(forms.number(SETTING_ASKED["tap"]), "", heat),
    }


def _oven_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    heat, length = f"°{kitchen.heat_unit}", "in" if kitchen.mass_unit == "oz" else "cm"
    return {
        "function": FieldLine(forms.one_of(SETTING_ASKED["function"], forms.choices(OVEN_FUNCTIONS, function_word))),
        "dial_unit": FieldLine(
            forms.one_of(SETTING_ASKED["dial_unit"], forms.choices(DIAL_UNITS, dial_word)),
            "" if kitchen.oven.dial_said else SETTING_HELP["dial_unit"],
        ),
        "highest": FieldLine(forms.number(SETTING_ASKED["highest"]), "", heat),
        "slab": FieldLine(forms.one_of(SETTING_ASKED["slab"], forms.choices(SLAB_KINDS, slab_word))),
        "slab_mm": FieldLine(forms.number(SETTING_ASKED["slab_mm"]), usual_thickness_words(), "mm"),
        "slab_width": FieldLine(forms.number(SETTING_ASKED["slab_width"]), SETTING_HELP["slab_width"], length),
        "slab_depth": FieldLine(forms.number(SETTING_ASKED["slab_depth"]), "", length),
        "shelves": FieldLine(forms.count(SETTING_ASKED["shelves"])),
        "trays_at_once": FieldLine(forms.count(SETTING_ASKED["trays_at_once"])),
        "power_w": FieldLine(forms.number(SETTING_ASKED["power_w"]), SETTING_HELP["power_w"], "W"),
        "measured_preheat": FieldLine(
            forms.count(SETTING_ASKED["measured_preheat"]), SETTING_HELP["measured_preheat"], "min"
        ),
        "dial_error": FieldLine(forms.number(SETTING_ASKED["dial_error"]), SETTING_HELP["dial_error"], heat),
    }


def _warmth_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    heat = f"°{kitchen.heat_unit}"
    lines = {}
    for place in range(min(len(kitchen.room) + 1, answers.MOST_PARTS)):
        lines[f"from-{place}"] = FieldLine(forms.clock(SETTING_ASKED["from"]))
        lines[f"temp-{place}"] = FieldLine(forms.number(SETTING_ASKED["temp"]), "", heat)
    lines["fridge"] = FieldLine(forms.number(SETTING_ASKED["fridge"]), "", heat)
    lines["has_warm_spot"] = FieldLine(forms.tick(SETTING_ASKED["has_warm_spot"]), SETTING_HELP["has_warm_spot"])
    lines["warm"] = FieldLine(forms.number(SETTING_ASKED["warm"]), "", heat)
    lines["warm_is_oven"] = FieldLine(forms.tick(SETTING_ASKED["warm_is_oven"]), SETTING_HELP["warm_is_oven"])
    return lines


def _units_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    del kitchen
    lines = {
        "mass_unit": FieldLine(forms.one_of(SETTING_ASKED["mass_unit"], forms.choices(MASS_UNITS, unit_word))),
        "heat_unit": FieldLine(forms.one_of(SETTING_ASKED["heat_unit"], forms.choices(HEAT_UNITS, unit_word))),
        "clock": FieldLine(forms.one_of(SETTING_ASKED["clock"], forms.choices(CLOCK_STYLES, unit_word))),
        "zone": FieldLine(forms.text(SETTING_ASKED["zone"], list="zones"), SETTING_HELP["zone"]),
    }
    return lines | {f"avoid-{one.key}": FieldLine(forms.tick(one.short)) for one in safety.allergens()}


def _new_pan() -> FieldLine:
    return FieldLine(forms.text(SETTING_ASKED["name"], list="common-pans"), SETTING_HELP["new_pan"])


def _pan_lines(kitchen: Kitchen) -> dict[str, FieldLine]:
    length = "in" if kitchen.mass_unit == "oz" else "cm"
    lines = {}
    for place in range(min(len(kitchen.pans) + 1, pans.MOST_PANS)):
        new = place >= len(kitchen.pans)
        lines[f"{place}-name"] = _new_pan() if new else FieldLine(forms.text(SETTING_ASKED["name"]))
        lines[f"{place}-shape"] = FieldLine(
            forms.one_of(SETTING_ASKED["shape"], forms.choices(PAN_SHAPES, shape_word, "–"))
        )
        lines[f"{place}-length"] = FieldLine(forms.number(measure_word("length")), "", length)
        lines[f"{place}-width"] = FieldLine(forms.number(measure_word("width")), "", length)
        lines[f"{place}-water_g"] = FieldLine(forms.number(measure_word("water_g")), "", kitchen.mass_unit)
        if not new:
            lines[f"{place}-gone"] = FieldLine(forms.tick(SETTING_ASKED["gone"]))
    return lines


LINES = {
    "scale": _scale_lines,
    "pans": _pan_lines,
    "oven": _oven_lines,
    "warmth": _warmth_lines,
    "units": _units_lines,
}
