"""The settings of a kitchen: units and clock as they are chosen, and what each part is called."""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from webapp.core.kinds import ClockStyle, HeatUnit, MassUnit


def unit_word(unit: HeatUnit | MassUnit | ClockStyle) -> str:
    """How weights, temperatures and the clock are read."""
    match unit:
        case "g":
            return "Grams"
        case "oz":
            return "Ounces"
        case "C":
            return "Celsius"
        case "F":
            return "Fahrenheit"
        case "24":
            return "19:30"
        case "12":
            return "7:30 pm"
        case _:
            assert_never(unit)


def loading_unit_word(unit: MassUnit) -> str:
    """How much dough lies on a pan."""
    match unit:
        case "g":
            return "g on each cm²"
        case "oz":
            return "oz on each in²"
        case _:
            assert_never(unit)


# Every part of a kitchen's settings, as it is called where it cannot be read.
SETTINGS: Mapping[str, str] = {
    "zone": "time zone",
    "room": "how warm the kitchen is",
    "fridge_c": "how cold the fridge is",
    "warm_c": "how warm the warm spot is",
    "has_warm_spot": "warm spot",
    "warm_is_oven": "the oven as warm spot",
    "tap_c": "how cold the tap is",
    "mixing": "mixing",
    "mixing_rise_c": "what mixing warms",
    "vessel": "bowl or tub",
    "scale_step_g": "kitchen scale",
    "micro_step_g": "fine scale",
    "has_spoons": "measuring spoons",
    "yeast_kind": "yeast",
    "vigour_ln_mean": "how quick the dough is",
    "vigour_ln_sd": "how sure that is",
    "pans": "pans",
    "oven": "oven",
    "people": "people and their hours",
    "mass_unit": "grams or ounces",
    "heat_unit": "Celsius or Fahrenheit",
    "clock": "clock",
    "alarms": "alarms",
    "every_step": "which steps ring",
    "avoid": "allergens",
    "habits": "changes taken along",
}


def setting_word(name: str) -> str:
    """A setting by its name in the record, as a person calls it."""
    return SETTINGS.get(name, name)
