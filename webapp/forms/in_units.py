"""Temperatures, lengths and masses as they are typed in a kitchen's own units, and back into text."""

from __future__ import annotations

import math

from webapp.core import units
from webapp.core.kitchen import Kitchen
from webapp.core.units import number_text
from webapp.forms.typed import Answers
from webapp.words.kinds.settings import loading_unit_word
from webapp.words.problems import fields

LEAST_CM, MOST_CM = 8.0, 100.0  # of a pan, a slab
LEAST_G_CM2, MOST_G_CM2 = 0.1, 1.5  # of dough on the floor of a pan
_LOADING_PLACES = {"g": 3, "oz": 4}  # of an ounce on the square inch, 0.0001 is less than half of 0.001 g on each cm2


def read_length(answers: Answers, field: str, kitchen: Kitchen) -> float:
    """A side of a pan in cm; typed in inches where ounces are weighed."""
    if kitchen.mass_unit == "oz":
        least, most = (units.in_from_cm(cm) for cm in (LEAST_CM, MOST_CM))
        return units.cm_from_in(answers.number(field, round(least, 1), round(most, 1), "inches", what=fields.SIZE))
    return answers.number(field, LEAST_CM, MOST_CM, "cm", what=fields.SIZE)


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


def read_mass(
    answers: Answers, field: str, kitchen: Kitchen, least_g: float, most_g: float, *, what: str = fields.THIS
) -> float:
    """Grams; typed in ounces where those are weighed."""
    if kitchen.mass_unit == "g":
        return answers.number(field, least_g, most_g, "g", what=what)
    least, most = (units.oz_from_g(grams) * 100 for grams in (least_g, most_g))
    # What `mass_text` shows of either end is still within.
    least, most = max(1, math.floor(least)) / 100, math.ceil(most) / 100
    return units.g_from_oz(answers.number(field, least, most, "oz", what=what))


def mass_text(grams: float, kitchen: Kitchen) -> str:
    """What `read_mass` reads: whole grams, ounces to the hundredth, which is less than half of one."""
    return number_text(units.oz_from_g(grams), 2) if kitchen.mass_unit == "oz" else number_text(grams, 0)


def loading_unit(kitchen: Kitchen) -> str:
    """In which unit `read_loading` reads."""
    return loading_unit_word(kitchen.mass_unit)


def read_loading(answers: Answers, field: str, kitchen: Kitchen) -> float:
    """Dough on the floor of a pan in g/cm2, to the thousandth; typed in oz/in2 where ounces are weighed."""
    if kitchen.mass_unit == "g":
        return answers.number(field, LEAST_G_CM2, MOST_G_CM2, loading_unit(kitchen))
    places = _LOADING_PLACES["oz"]
    least, most = (round(units.oz_in2_from_g_cm2(loading), places) for loading in (LEAST_G_CM2, MOST_G_CM2))
    typed = answers.number(field, least, most, loading_unit(kitchen))
    return round(units.g_cm2_from_oz_in2(typed), 3)


def loading_text(g_cm2: float, kitchen: Kitchen) -> str:
    """What `read_loading` reads, so exactly that it reads the same back."""
    shown = units.oz_in2_from_g_cm2(g_cm2) if kitchen.mass_unit == "oz" else g_cm2
    return number_text(shown, _LOADING_PLACES[kitchen.mass_unit])
