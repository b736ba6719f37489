"""What past bakes changed, what a bake's numbers say, and what a test glass asks for and showed, in words."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import assert_never

from webapp.core.kinds import BakeNumber, LessonKind
from webapp.core.kitchen import Kitchen
from webapp.core.learning.habits import NOTE
from webapp.core.learning.sample_glass import FIRST_LOOK, SECOND_LOOK, Expected, GlassRecipe, SampleGlass, when
from webapp.core.plan.plan import Habit
from webapp.core.units import mass_text, number_text
from webapp.words.kinds.dough import yeast_name
from webapp.words.kinds.outcome import verdict_said
from webapp.words.times import clock

TOLD_H = 8  # hours away on a workday: the rise by which it is told how sure times are
FROM_PAST = "From past bakes: "
LIKELY, POSSIBLE = 0.4, 0.15  # shares from which a cause is called likely, possible
LITTLE_LN = math.log(1.05)  # ln of a pace that is hardly another one
# How each number of a bake (learning/bake_numbers.py) is said to a person.
NUMBER_WORDS: dict[BakeNumber, str | tuple[str, str]] = {
    "heat_short_min": "heated {:.0f} min less than planned",
    "bake_short_min": "out {:.0f} min before the earliest expected",
    "bake_long_min": "in {:.0f} min longer than the latest expected",
    "turn_down_late_min": "turned down {:.0f} min after loading",
    "press_ratio": "at {:.0f} % of its best rise when pressed",
    "load_ratio": "at {:.0f} % of its best rise when it went in",
    "load_past_ratio": "{:.0f} % of the way to past its best when it went in",
    "proof_min": "{:.0f} min of proof in the tray",
    "dough_c": "dough at {:.0f} °C when it went in",
    "topping_g_cm2": "{:.2f} g on top of each cm²",
    "loading_g_cm2": "{:.2f} g of dough on each cm²",
    "hydration_percent": "{:.0f} % water in the dough",
    "salt_percent": "{:.1f} % salt in the dough",
    "fat_percent": "{:.1f} % fat in the dough",
    "slab": ("a heated slab", "the tray alone"),
    "lowest": ("on the lowest shelf", "above the lowest shelf"),
    "fan": ("fan on", "fan off"),
    "dial_off_c": "oven {:.0f} °C cooler than its dial",
    "measured": ("preheat measured", "preheat never measured"),
}


def habit_words(habit: Habit) -> str:
    """What this habit does, for a plan: the suggestion's own words and how far it has come."""
    match habit.field:
        case "topping_times" | "loading_times" | "rise_times":
            return f"{habit.text} (now {habit.value * 100:.0f} % of usual)"
        case "preheat_min" | "bake_min":
            return f"{habit.text} (now {habit.value:+.0f} min)"
        case "bake_c":
            return f"{habit.text} (now {habit.value:+.0f} °C)"
        case "water_percent":
            return f"{habit.text} (now {habit.value:+.0f} %)"
        case "shelf_low" | "note":
            return habit.text
        case _:
            assert_never(habit.field)


def lesson_words(seen: LessonKind, times: str) -> str:
    """What told how quick a dough was; `times` how high a glass stood."""
    match seen:
        case "glass":
            return f"glass at {times}"
        case "test-glass":
            return f"test glass at {times}"
        case "look":
            return "looked at when pressed"
        case "poke":
            return "poked before baking"
        case "young" | "right" | "past":
            return f"{verdict_said(seen)} when baked"
        case _:
            assert_never(seen)


def noted_at(habits: Iterable[Habit], step: str) -> str:
    """What was noted for this kind of step, a line each, where it is needed; "" when nothing was."""
    return "\n".join(f"{FROM_PAST}{one.text}" for one in habits if one.field == NOTE and one.step == step)


def number_words(name: BakeNumber, value: float) -> str:
    """A number of a bake in words: "heated 20 min less than planned", "the tray alone"."""
    words = NUMBER_WORDS[name]
    if isinstance(words, tuple):
        return words[0] if value else words[1]
    return words.format(value * 100.0 if name.endswith("_ratio") else value)


def weigh_rows(recipe: GlassRecipe, kitchen: Kitchen) -> list[tuple[str, str]]:
    """(what, how much) of the liquid that is stirred together first."""
    return [
        ("Water, as warm as the room", _coarse(recipe.stock_water_g, kitchen)),
        ("Salt", _fine(recipe.stock_salt_g, recipe, kitchen)),
        (yeast_name(recipe.yeast_kind), _fine(recipe.stock_yeast_g, recipe, kitchen)),
    ]


def _coarse(grams: float, kitchen: Kitchen) -> str:
    return mass_text(grams, kitchen.mass_unit)


def _fine(grams: float, recipe: GlassRecipe, kitchen: Kitchen) -> str:
    """On the scale that weighs it; a fine scale shows grams whatever the kitchen counts in."""
    if recipe.fine_g < recipe.step_g:
        return f"{mass_text(grams, 'g', 1)} on the fine scale"
    return mass_text(grams, kitchen.mass_unit)


def into_glass(recipe: GlassRecipe, kitchen: Kitchen) -> str:
    """What goes into the glass."""
    return f"{_coarse(recipe.flour_g, kitchen)} of flour and {_coarse(recipe.take_g, kitchen)} of that water"


def when_to_look(glass: SampleGlass, mean: float, kitchen: Kitchen) -> tuple[str, str]:
    """The two times at which looking teaches most, to five minutes."""
    quicker = math.exp(mean)
    first, second = (_five_minutes(when(glass, times, quicker), kitchen) for times in (FIRST_LOOK, SECOND_LOOK))
    more = f"If you are still up, look again about {second}. Once is enough, and any other time teaches too."
    return f"Look about {first}.", more


def _five_minutes(instant: int, kitchen: Kitchen) -> str:
    return clock((instant + 150) // 300 * 300, kitchen.zone, kitchen.clock)


def look_row(look: Expected, kitchen: Kitchen) -> tuple[str, str, str]:
    """(time, most likely, from to) for the table of what to expect."""
    return (
        clock(look.at, kitchen.zone, kitchen.clock),
        f"×{number_text(look.times, 1)}",
        f"×{number_text(look.low, 1)} to ×{number_text(look.high, 1)}",
    )


def quicker_words(quicker: float) -> str:
    """How quick it was against the middle of all kitchens."""
    if 0.95 < quicker < 1.05:
        return "as quick as in the middle of all kitchens"
    how, times = ("quicker", quicker) if quicker > 1 else ("slower", 1.0 / quicker)
    return (
        f"{number_text(times, 2)} times as {'quick' if how == 'quicker' else 'slow'} as in the middle of all kitchens"
    )


def sureness_words(band_percent: float) -> str:
    """How sure times are, as hours and not as a percentage: "a rise planned for 8 hours may take from 5 to 13"."""
    times = 1.0 + band_percent / 100.0
    least, most = (number_text(round(hours * 2) / 2, 1) for hours in (TOLD_H / times, TOLD_H * times))
    return f"a rise planned for {TOLD_H} hours may take from {least} to {most}"


def pace_words(kitchen: Kitchen) -> str:
    """ "a fifth quicker than in most kitchens": how fast dough rises here, as near as a kitchen can see it."""
    return pace_of(kitchen.vigour_ln_mean)


def pace_of(vigour_ln_mean: float) -> str:
    """The same of the number that a kitchen teaches."""
    quicker = math.exp(vigour_ln_mean)
    if abs(vigour_ln_mean) < LITTLE_LN:
        return "as fast as in most kitchens"
    percent = round(abs(quicker - 1.0) * 20) * 5
    return f"about {percent} % {'faster' if quicker > 1 else 'slower'} than in most kitchens"


def likely_words(share: float) -> str:
    """A share of the likelihood of a cause; the table behind it is too rough for figures."""
    return "most likely" if share >= LIKELY else "possible" if share >= POSSIBLE else "less likely"
