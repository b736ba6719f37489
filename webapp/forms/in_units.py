"""Temperatures and lengths as they are typed in a kitchen's own units, and back into text."""

from __future__ import annotations

from webapp.core import units
from webapp.core.kitchen import Kitchen
from webapp.forms.typed import Answers, number_text

LEAST_CM, MOST_CM = 8.0, 100.0  # of a pan, a slab


def read_length(answers: Answers, field: str, kitchen: Kitchen) -> float:
    """A side of a pan in cm; typed in inches where ounces are weighed."""
    if kitchen.mass_unit == "oz":
        least, most = (units.in_from_cm(cm) for cm in (LEAST_CM, MOST_CM))
        return units.cm_from_in(answers.number(field, round(least, 1), round(most, 1), "inches", what="The size"))
    return answers.number(field, LEAST_CM, MOST_CM, "cm", what="The size")


def length_text(cm: float, kitchen: Kitchen) -> str:
    """What `read_length` reads."""
    return number_text(units.in_from_cm(cm) if kitchen.mass_unit == "oz" else cm, 1)


def read_heat(answers: Answers, field: str, kitchen: Kitchen, least_c: float, most_c: float) -> float:
    """A temperature in degrees Celsius, typed in the kitchen's unit."""
    if kitchen.heat_unit == "F":
        typed = answers.number(field, round(units.f_from_c(least_c)), round(units.f_from_c(most_c)), "°F")
        return units.c_from_f(typed)
    return answers.number(field, least_c, most_c, "°C")


def heat_text(celsius: float, kitchen: Kitchen) -> str:
    """What `read_heat` reads."""
    return number_text(units.f_from_c(celsius) if kitchen.heat_unit == "F" else celsius, 1)
