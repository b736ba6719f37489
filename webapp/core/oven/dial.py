"""What the dial reads, what the oven is: Celsius, Fahrenheit, gas marks, the fan's 20 degrees, the dial's own error.

Sources: gas marks step 25 F, mark 1 = 275 F, halves below (encyclopedia copy, see tables/gas_marks.toml); a fan oven is
set 20 C lower (BBC Good Food chart text, copy). No formal standard for gas marks was found.
"""

from __future__ import annotations

import re

from webapp.core.errors import PlanError
from webapp.core.kinds import DialUnit
from webapp.core.kitchen import Oven
from webapp.core.oven.function import FUNCTIONS
from webapp.core.ranges import typed
from webapp.core.units import c_from_f, f_from_c

DIAL_RANGE_C = (100.0, 550.0)
DIAL_STEP = 5.0  # degrees of what it shows, between two settings that a step tells
ERROR_MOST_C = typed("Oven", "dial_error_c")[1]
_READING = re.compile(r"\d{1,4}(\.\d{0,3})?", re.ASCII)  # "1e999999999" is a number too, and endless work


MARKS: tuple[tuple[str, float], ...] = (
    ("1/4", c_from_f(225.0)),
    ("1/2", c_from_f(250.0)),
    *((str(m), c_from_f(250.0 + 25.0 * m)) for m in range(1, 11)),
)


def gas_mark_c(mark: str) -> float:
    """Nominal Celsius of a gas mark written "1/4", "1/2", "1" ... "10". Raises PlanError at `dial` for another."""
    wanted = mark.strip().lower().removeprefix("gas").removeprefix(" mark").strip()
    for name, heat_c in MARKS:
        if name == wanted or (wanted == "½" and name == "1/2") or (wanted == "¼" and name == "1/4"):
            return heat_c
    raise PlanError.at("dial", "no-gas-mark", typed=mark)


def nearest_mark(heat_c: float, highest_c: float = 1000.0) -> str:
    """The gas mark nearest to this heat, not above the dial's highest."""
    open_marks = [m for m in MARKS if m[1] <= highest_c + 1.0] or [MARKS[0]]
    return min(open_marks, key=lambda m: abs(m[1] - heat_c))[0]


def dial_c(oven: Oven, air_c: float) -> float:
    """The dial setting (as C) at which the air is `air_c`, rounded as this dial turns, never above its highest."""
    setting = min(air_c - oven.dial_error_c, oven.highest_c)
    if oven.dial_unit == "gas":
        return gas_mark_c(nearest_mark(setting, oven.highest_c))
    if oven.dial_unit == "F":
        return c_from_f(_stepped(f_from_c(setting), DIAL_STEP, f_from_c(oven.highest_c)))
    return _stepped(setting, DIAL_STEP, oven.highest_c)


def _stepped(value: float, by: float, highest: float) -> float:
    """`value` to the nearest `by`, or the highest setting itself."""
    return min(by * round(value / by), highest)


def air_c(oven: Oven, setting_c: float) -> float:
    """The real heat of the air at this dial setting, by the thermometer reading that was noted."""
    return setting_c + oven.dial_error_c


def function_c(oven: Oven, still_c: float) -> float:
    """The air heat that bakes like `still_c` with top and bottom heat."""
    return still_c - FUNCTIONS[oven.function].less_c


def read_dial(field: str, text: str, unit: DialUnit) -> float:
    """Celsius of what a person typed from their dial, in its unit. Raises PlanError at `field`."""
    if unit == "gas":
        try:
            return gas_mark_c(text)
        except PlanError:
            raise PlanError.at(field, "no-typed-mark", typed=text[:40]) from None
    typed = text.strip().replace(",", ".")
    if not _READING.fullmatch(typed):
        raise PlanError.at(field, "no-temperature", typed=text[:40])
    number = float(typed)
    heat_c = c_from_f(number) if unit == "F" else number
    if not DIAL_RANGE_C[0] <= heat_c <= DIAL_RANGE_C[1]:
        least, most = DIAL_RANGE_C
        raise PlanError.at(
            field, "no-oven-heat", typed=typed, unit=unit,
            least_c=least, most_c=most, least_f=f_from_c(least), most_f=f_from_c(most),
        )  # fmt: skip
    return heat_c


def dial_error_c(field: str, dial_text: str, thermometer_c: float, unit: DialUnit) -> float:
    """Thermometer minus dial (C). Raises PlanError at `field` when the two are too far apart to be one oven."""
    error = thermometer_c - read_dial(field, dial_text, unit)
    if abs(error) > ERROR_MOST_C:
        raise PlanError.at(field, "apart", apart_c=abs(error))
    return error
