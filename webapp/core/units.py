"""Conversions between what people type and what the program keeps, and numbers as text.

Inside, everything is grams, degrees Celsius, seconds, centimetres and percent of flour; ounces, Fahrenheit and
inches exist only at the rim, through the functions below.

Sources: the avoirdupois ounce is 28.349523125 g and the inch 2.54 cm by definition (international yard and pound
agreement of 1959); the Fahrenheit scale is defined by F = 1.8 C + 32 (NIST SP 811, appendix B.8).
"""

from __future__ import annotations

import math

from webapp.core.kinds import HeatUnit, MassUnit

G_PER_OZ = 28.349523125
CM_PER_IN = 2.54
LITTLE_OZ = 0.1  # below this, ounces are written with three decimals
# Steps of a common ounce scale and of the finest (common practice); from ten steps on, rounding to one moves an amount
# by a twentieth at most.
SCALE_OZ, FINEST_OZ = 0.05, 0.005
HOUR_S = 3600


def c_from_f(fahrenheit: float) -> float:
    """Degrees Celsius from degrees Fahrenheit."""
    return (fahrenheit - 32.0) / 1.8


def f_from_c(celsius: float) -> float:
    """Degrees Fahrenheit from degrees Celsius."""
    return celsius * 1.8 + 32.0


def step_c_from_f(fahrenheit_step: float) -> float:
    """A difference of temperature in Celsius degrees from one in Fahrenheit degrees."""
    return fahrenheit_step / 1.8


def g_from_oz(ounces: float) -> float:
    """Grams from avoirdupois ounces."""
    return ounces * G_PER_OZ


def oz_from_g(grams: float) -> float:
    """Avoirdupois ounces from grams."""
    return grams / G_PER_OZ


def cm_from_in(inches: float) -> float:
    """Centimetres from inches."""
    return inches * CM_PER_IN


def in_from_cm(centimetres: float) -> float:
    """Inches from centimetres."""
    return centimetres / CM_PER_IN


def g_cm2_from_oz_in2(loading: float) -> float:
    """Grams per square centimetre from ounces per square inch."""
    return loading * G_PER_OZ / CM_PER_IN**2


def oz_in2_from_g_cm2(loading: float) -> float:
    """Ounces per square inch from grams per square centimetre."""
    return loading / g_cm2_from_oz_in2(1.0)


def s_from_h(hours: float) -> float:
    """Seconds from hours."""
    return hours * HOUR_S


def h_from_s(seconds: float) -> float:
    """Hours from seconds."""
    return seconds / HOUR_S


def number_text(value: float, decimals: int = 2) -> str:
    """A number for people: rounded half up, without trailing zeros (`2.50` reads 2.5, `3.0` reads 3).

    Every amount that is shown or filled in comes from here, on the phone from `trimmed` in static/js/lib/format.js.
    """
    scaled = 10**decimals
    rounded = math.floor(abs(value) * scaled + 0.5) / scaled
    text = f"{rounded:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 and rounded else text


def mass_text(grams: float, unit: MassUnit = "g", decimals: int | None = None) -> str:
    """A mass in the person's unit, "g" or "oz": its number (see `mass_number`) and the unit."""
    return f"{mass_number(grams, unit, decimals)} {unit}"


def mass_number(grams: float, unit: MassUnit = "g", decimals: int | None = None) -> str:
    """The number of a mass in "g" or "oz", with as many decimals as its size and a kitchen scale deserve.

    Ounces are what an ounce scale shows: as they are where some scale shows them, else to the next 0.05; of less than
    half an ounce two decimals stay, of a pinch three.
    """
    if unit == "oz":
        ounces = oz_from_g(grams)
        return _ounces_text(ounces) if decimals is None else number_text(ounces, decimals)
    if decimals is None:
        decimals = 2 if abs(grams) < 5 else 1 if abs(grams) < 20 else 0
    return number_text(grams, decimals)


def _ounces_text(ounces: float) -> str:
    steps = ounces / FINEST_OZ
    if abs(steps - math.floor(steps + 0.5)) < 1e-6:
        return number_text(ounces, 3)
    if abs(ounces) < 10 * SCALE_OZ:
        return number_text(ounces, 3 if abs(ounces) < LITTLE_OZ else 2)
    return number_text(math.floor(ounces / SCALE_OZ + 0.5) * SCALE_OZ, 2)


def mass_beside(grams: float, unit: MassUnit = "g", decimals: int | None = None) -> str:
    """A mass with its grams beside where ounces are weighed: "10.15 oz (287 g)"; `decimals` are those of the grams."""
    text = mass_text(grams, "g", decimals)
    return f"{mass_text(grams, 'oz')} ({text})" if unit == "oz" else text


def heat_text(celsius: float, unit: HeatUnit = "C") -> str:
    """A temperature in the person's unit, "C" or "F", to the whole degree."""
    return f"{number_text(f_from_c(celsius) if unit == 'F' else celsius, 0)} °{unit}"


def heats_text(least_c: float, most_c: float, unit: HeatUnit = "C") -> str:
    """A range in the person's unit, to the whole degree: "18\u201321 °C"; one when both read the same."""
    least, most = (number_text(f_from_c(c) if unit == "F" else c, 0) for c in (least_c, most_c))
    return f"{most} °{unit}" if least == most else f"{least}\u2013{most} °{unit}"
