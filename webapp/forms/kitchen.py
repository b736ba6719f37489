"""The kitchen's settings, section by section: the record into text for a form, and typed text back into the record.

Each section has `typed_*` (what the form shows) and `read_*` (a new Kitchen from the answers; it calls
`answers.done()`, so every mistake of the section comes at once).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from webapp.core import units
from webapp.core.day.day import zone_of
from webapp.core.day.hours import DAY_MIN
from webapp.core.errors import PlanError
from webapp.core.kinds import (
    BULK_VESSELS,
    CLOCK_STYLES,
    DIAL_UNITS,
    HEAT_UNITS,
    MASS_UNITS,
    MIXINGS,
    OVEN_FUNCTIONS,
    SLAB_KINDS,
    YEAST_KINDS,
)
from webapp.core.kitchen import Kitchen, Oven, PartOfDay
from webapp.core.ranges import typed, typed_whole
from webapp.core.units import number_text
from webapp.forms.in_units import heat_text, length_text, read_heat, read_length
from webapp.forms.measured_oven import LEAST_PREHEAT_MIN, MOST_PREHEAT_MIN
from webapp.forms.pans import read_pans, typed_pans
from webapp.forms.typed import Answers, clock_text
from webapp.words.problems import fields
from webapp.words.problems import typed as said

MOST_PARTS = 8  # of the day
# Steps of a kitchen scale in its own unit: those in a row are the same scale switched over.
SCALE_STEPS = {"g": ("0.1", "0.5", "1", "2", "5"), "oz": ("0.005", "0.02", "0.05", "0.1", "0.2")}
MICRO_STEPS = ("0", "0.01", "0.02", "0.05", "0.1")
_USUAL_SHELVES = 4
LEAST_WARM_C, MOST_WARM_C = typed("Kitchen", "warm_c")  # its most again in static/js/sheets/dough_moves.js


def typed_scale(kitchen: Kitchen) -> dict[str, str]:
    """Scale, spoons, yeast, mixing."""
    return {
        "scale_step": _scale_step(kitchen),
        "micro_step": number_text(kitchen.micro_step_g),
        "has_spoons": "1" if kitchen.has_spoons else "",
        "yeast_kind": kitchen.yeast_kind,
        "mixing": kitchen.mixing,
        "mixing_rise": number_text(_step(kitchen.mixing_rise_c, kitchen), 1),
        "vessel": kitchen.vessel,
        "tap": heat_text(kitchen.tap_c, kitchen),
    }


def read_scale(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """Scale, spoons, yeast, mixing."""
    changed = replace(
        kitchen,
        scale_step_g=_step_g(answers.choice("scale_step", SCALE_STEPS[kitchen.mass_unit]), kitchen.mass_unit),
        micro_step_g=float(answers.choice("micro_step", MICRO_STEPS, empty="0") or 0),
        has_spoons=answers.yes("has_spoons"),
        yeast_kind=answers.choice("yeast_kind", YEAST_KINDS),
        mixing=answers.choice("mixing", MIXINGS),
        mixing_rise_c=_read_step(answers, "mixing_rise", kitchen, *typed("Kitchen", "mixing_rise_c")),
        vessel=answers.choice("vessel", BULK_VESSELS),
        tap_c=read_heat(answers, "tap", kitchen, *typed("Kitchen", "tap_c")),
    )
    answers.done()
    return changed


def _step_g(step: str, unit: str) -> float:
    return units.g_from_oz(float(step)) if unit == "oz" else float(step)


def _scale_step(kitchen: Kitchen) -> str:
    """The step on the list of the kitchen's unit that is nearest to its scale's, by proportion."""

    def off(step: str) -> float:
        times = _step_g(step, kitchen.mass_unit) / kitchen.scale_step_g
        return max(times, 1 / times)

    if not kitchen.scale_step_g > 0:  # from a damaged file: shown as typed, so that reading it names the field
        return number_text(kitchen.scale_step_g)
    return min(SCALE_STEPS[kitchen.mass_unit], key=off)


def _same_scale(kitchen: Kitchen, unit: str) -> float:
    """The step, grams, of the kitchen's scale switched over to another unit; its own when the unit stays."""
    if unit == kitchen.mass_unit:
        return kitchen.scale_step_g
    place = SCALE_STEPS[kitchen.mass_unit].index(_scale_step(kitchen))
    return _step_g(SCALE_STEPS[unit][place], unit)


def typed_oven(kitchen: Kitchen) -> dict[str, str]:
    """Oven and slab."""
    oven = kitchen.oven
    return {
        "function": oven.function,
        "dial_unit": oven.dial_unit,
        "highest": heat_text(oven.highest_c, kitchen),
        "slab": oven.slab,
        "slab_mm": _or_empty(oven.slab_mm),
        "slab_width": _or_empty(oven.slab_width_cm) and length_text(oven.slab_width_cm, kitchen),
        "slab_depth": _or_empty(oven.slab_depth_cm) and length_text(oven.slab_depth_cm, kitchen),
        "shelves": str(oven.shelves),
        "power_w": _or_empty(oven.power_w),
        "measured_preheat": _or_empty(oven.measured_preheat_min),
        "dial_error": number_text(_step(oven.dial_error_c, kitchen), 1),
        "trays_at_once": str(oven.trays_at_once),
    }


def read_oven(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """Oven and slab."""
    slab = answers.choice("slab", SLAB_KINDS)
    size = {"slab_width": 0.0, "slab_depth": 0.0}
    for field in size:
        if answers.text(field):
            size[field] = read_length(answers, field, kitchen)
    oven = replace(
        kitchen.oven,
        function=answers.choice("function", OVEN_FUNCTIONS, empty=kitchen.oven.function),
        dial_unit=answers.choice("dial_unit", DIAL_UNITS),
        dial_said=True,
        highest_c=read_heat(answers, "highest", kitchen, *typed("Oven", "highest_c")),
        slab=slab,
        slab_mm=answers.number("slab_mm", 1, 60, "mm", empty=0.0, what=fields.THICKNESS),
        slab_width_cm=size["slab_width"],
        slab_depth_cm=size["slab_depth"],
        shelves=answers.whole("shelves", *typed_whole("Oven", "shelves"), empty=_USUAL_SHELVES),
        power_w=answers.number("power_w", 300, 20_000, "W", empty=0.0),
        measured_preheat_min=answers.whole("measured_preheat", LEAST_PREHEAT_MIN, MOST_PREHEAT_MIN, empty=0),
        dial_error_c=_read_step(answers, "dial_error", kitchen, *typed("Oven", "dial_error_c")),
        trays_at_once=answers.whole("trays_at_once", *typed_whole("Oven", "trays_at_once"), empty=1),
    )
    answers.done()
    return replace(kitchen, oven=_forget_preheat(kitchen.oven, oven))


def _forget_preheat(before: Oven, after: Oven) -> Oven:
    """A preheat measured with another slab is none of this one; minutes that were typed anew stay."""
    lay, lies = ((o.slab, o.slab_mm, o.slab_width_cm, o.slab_depth_cm) for o in (before, after))
    stale = lay != lies and before.measured_preheat_min == after.measured_preheat_min
    return replace(after, measured_preheat_min=0) if stale else after


def typed_warmth(kitchen: Kitchen) -> dict[str, str]:
    """Room by part of the day, fridge, warm spot."""
    typed = {
        "fridge": heat_text(kitchen.fridge_c, kitchen),
        "has_warm_spot": "1" if kitchen.has_warm_spot else "",
        "warm": heat_text(kitchen.warm_c, kitchen),
        "warm_is_oven": "1" if kitchen.warm_is_oven else "",
    }
    for place, part in enumerate(kitchen.room):
        typed |= {f"from-{place}": clock_text(part.from_min), f"temp-{place}": heat_text(part.temp_c, kitchen)}
    return typed


def read_warmth(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """Room by part of the day, fridge, warm spot. An emptied row is gone."""
    parts = []
    for place in range(MOST_PARTS):
        if answers.text(f"from-{place}") or answers.text(f"temp-{place}"):
            minute = answers.clock(f"from-{place}") % DAY_MIN
            parts.append(PartOfDay(minute, read_heat(answers, f"temp-{place}", kitchen, *typed("PartOfDay", "temp_c"))))
    parts.sort(key=lambda part: part.from_min)
    if not parts:
        answers.wrong("temp-0", *said.NO_TEMPERATURE)
    if len({part.from_min for part in parts}) < len(parts):
        answers.wrong("from-0", *said.SAME_BEGIN)
    changed = replace(
        kitchen,
        room=tuple(parts),
        fridge_c=read_heat(answers, "fridge", kitchen, *typed("Kitchen", "fridge_c")),
        has_warm_spot=answers.yes("has_warm_spot"),
        warm_c=read_heat(answers, "warm", kitchen, LEAST_WARM_C, MOST_WARM_C),
        warm_is_oven=answers.yes("warm_is_oven"),
    )
    answers.done()
    return changed


def typed_units(kitchen: Kitchen) -> dict[str, str]:
    """Units, clock, zone, what to point out."""
    typed = {name: getattr(kitchen, name) for name in ("mass_unit", "heat_unit", "clock", "zone")}
    return typed | {f"avoid-{key}": "1" for key in kitchen.avoid}


def read_units(answers: Answers, kitchen: Kitchen, allergens: tuple[str, ...] = ()) -> Kitchen:
    """Units, clock, zone, what to point out."""
    zone = answers.text("zone")
    try:
        zone_of(zone)
    except PlanError as error:
        answers.problems += error.problems
    mass_unit = answers.choice("mass_unit", MASS_UNITS)
    heat_unit = answers.choice("heat_unit", HEAT_UNITS)
    # What is printed on a dial stays. Of one that nobody saved, the household's degrees are the likeliest; where it
    # shows others it was said, before that was written down.
    said_dial = kitchen.oven.dial_said or kitchen.oven.dial_unit != kitchen.heat_unit
    changed = replace(
        kitchen,
        mass_unit=mass_unit,
        scale_step_g=_same_scale(kitchen, mass_unit),
        heat_unit=heat_unit,
        oven=kitchen.oven if said_dial else replace(kitchen.oven, dial_unit=heat_unit),
        clock=answers.choice("clock", CLOCK_STYLES),
        zone=zone,
        avoid=tuple(key for key in allergens if answers.yes(f"avoid-{key}")),
    )
    answers.done()
    return changed


@dataclass(frozen=True)
class Section:
    """One form of the settings page."""

    typed: Callable[[Kitchen], Mapping[str, str]]
    read: Callable[[Answers, Kitchen], Kitchen]
    fields: tuple[str, ...]  # of the record


SECTIONS: dict[str, Section] = {
    "scale": Section(
        typed_scale,
        read_scale,
        ("scale_step_g", "micro_step_g", "has_spoons", "yeast_kind", "mixing", "mixing_rise_c", "vessel", "tap_c"),
    ),
    "pans": Section(typed_pans, read_pans, ("pans",)),
    "oven": Section(typed_oven, read_oven, ("oven",)),
    "warmth": Section(typed_warmth, read_warmth, ("room", "fridge_c", "has_warm_spot", "warm_c", "warm_is_oven")),
    "units": Section(typed_units, read_units, ("mass_unit", "heat_unit", "clock", "zone", "avoid")),
}


def _or_empty(value: float) -> str:
    return number_text(value, 1) if value else ""


def _step(degrees_c: float, kitchen: Kitchen) -> float:
    return degrees_c * 1.8 if kitchen.heat_unit == "F" else degrees_c


def _read_step(answers: Answers, field: str, kitchen: Kitchen, least_c: float, most_c: float) -> float:
    """A difference of temperatures in Celsius degrees."""
    if kitchen.heat_unit == "F":
        return units.step_c_from_f(answers.number(field, least_c * 1.8, most_c * 1.8, "°F", empty=0.0))
    return answers.number(field, least_c, most_c, "°C", empty=0.0)
