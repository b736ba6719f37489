"""The oven page: what was measured at the oven, read into the kitchen's record.

Each `read_*` takes typed answers and the kitchen as it is, and gives the kitchen with what was learned; every mistake
of a form comes at once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from webapp.core import units
from webapp.core.errors import PlanError
from webapp.core.kinds import BreadStyle
from webapp.core.kitchen import Kitchen, Oven
from webapp.core.learning import habits
from webapp.core.oven import dial, oven
from webapp.core.plan.oven import OvenPlan
from webapp.core.ranges import typed_whole
from webapp.data import oven as oven_data
from webapp.forms.in_units import read_heat
from webapp.forms.typed import Answers
from webapp.words.kinds.dough import baked_as
from webapp.words.pages.kitchen import dial_apart, dial_ends
from webapp.words.plan.oven import dial_end
from webapp.words.problems import fields
from webapp.words.problems import typed as said
from webapp.words.problems.told import refused
from webapp.words.spoken import spoken_oven

LEAST_PREHEAT_MIN, MOST_PREHEAT_MIN = 3, typed_whole("Oven", "measured_preheat_min")[1]
THERMOMETER_C = (80.0, 600.0)
# (style, usual dough and topping in g/cm2): what the page shows as an example. Loads: tables/formulas.toml.
EXAMPLES: tuple[tuple[BreadStyle, float, float], ...] = (
    ("tray", 0.70, 0.45),
    ("thin", 0.35, 0.35),
    ("pan", 0.65, 0.60),
    ("focaccia", 0.90, 0.09),
)


@dataclass(frozen=True)
class Example:
    """How a style goes in this oven: its name and its oven plan."""

    name: str
    plan: OvenPlan


def examples(kitchen: Kitchen) -> tuple[Example, ...]:
    """A few styles as this kitchen's plans would bake them, for the page."""
    changed, heat = habits.adjust_of(kitchen.habits), kitchen.heat_unit
    return tuple(
        Example(
            baked_as(style), spoken_oven(oven.programme(oven.ToBake(kitchen.oven, load, on_top, style, changed)), heat)
        )
        for style, load, on_top in EXAMPLES
    )


def slab_choice(profile: Oven) -> str:
    """The key of the slab on offer that this oven has, "" when it is one of its own size."""
    for choice in oven_data.slabs():
        if (choice.slab, choice.mm) == (profile.slab, profile.slab_mm if choice.mm else 0.0):
            return choice.key
    return ""


def read_slab(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """One of the slabs on offer, with its usual size; a preheat measured with another slab is forgotten."""
    offered = {choice.key: choice for choice in oven_data.slabs()}
    key = answers.choice("slab", tuple(offered), what=fields.SLAB)
    answers.done()
    chosen = offered[key]
    if slab_choice(kitchen.oven) == key:
        return kitchen
    profile = replace(
        kitchen.oven,
        slab=chosen.slab,
        slab_mm=chosen.mm,
        slab_width_cm=chosen.width_cm,
        slab_depth_cm=chosen.depth_cm,
        measured_preheat_min=0,
    )
    return replace(kitchen, oven=profile)


def read_preheat(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """Minutes that were measured; an empty field forgets them."""
    minutes = answers.whole("minutes", LEAST_PREHEAT_MIN, MOST_PREHEAT_MIN, empty=0)
    answers.done()
    return with_preheat(kitchen, minutes)


def with_preheat(kitchen: Kitchen, minutes: int) -> Kitchen:
    """The kitchen with this preheat as measured (0 = not measured)."""
    return replace(kitchen, oven=replace(kitchen.oven, measured_preheat_min=minutes))


def timed_minutes(lit: int, hot: int) -> int:
    """Whole minutes between two instants. Raises PlanError at "minutes" when it was no preheat."""
    minutes = round((hot - lit) / 60)
    if not LEAST_PREHEAT_MIN <= minutes <= MOST_PREHEAT_MIN:
        raise refused("minutes", *said.no_preheat(minutes, LEAST_PREHEAT_MIN, MOST_PREHEAT_MIN))
    return minutes


def read_thermometer(answers: Answers, kitchen: Kitchen) -> Kitchen:
    """Dial and thermometer read together; nothing typed in either forgets the difference."""
    if not answers.text("dial") and not answers.text("thermometer"):
        return replace(kitchen, oven=replace(kitchen.oven, dial_error_c=0.0))
    shown = read_heat(answers, "thermometer", kitchen, *THERMOMETER_C)
    error = 0.0
    try:
        error = dial.dial_error_c("dial", answers.text("dial"), shown, kitchen.oven.dial_unit)
    except PlanError as wrong:
        # A thermometer that could not be read is complained about at its own field already.
        misread = any(problem.field == "thermometer" for problem in answers.problems)
        answers.problems += [one for one in wrong.problems if not (misread and one.kind == "apart")]
    answers.done()
    # Who reads the dial against a thermometer reads it in what it shows.
    return replace(kitchen, oven=replace(kitchen.oven, dial_error_c=round(error, 1), dial_said=True))


def dial_words(kitchen: Kitchen) -> str:
    """What the plans do about the dial's error, in one sentence; "" when none is known."""
    error = kitchen.oven.dial_error_c
    if not error:
        return ""
    apart = f"{abs(error) * 1.8:.0f} °F" if kitchen.oven.dial_unit == "F" else f"{abs(error):.0f} °C"
    return dial_apart(apart, cooler=error < 0)


def highest_words(kitchen: Kitchen) -> str:
    """Where the dial ends, and what that is in truth by a thermometer in the household's unit."""
    profile = kitchen.oven
    ends, air_c = dial_end(profile), dial.air_c(profile, profile.highest_c)
    return dial_ends(ends, units.heat_text(air_c, kitchen.heat_unit)) if profile.dial_error_c else ends
