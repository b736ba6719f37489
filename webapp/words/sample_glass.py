"""What is said of a test glass: what to weigh, when to look, what it showed."""

from __future__ import annotations

import math

from webapp.core.formula.ingredients import YEAST_NAMES
from webapp.core.kitchen import Kitchen
from webapp.core.learning.sample_glass import FIRST_LOOK, SECOND_LOOK, GlassRecipe, Look, SampleGlass, when
from webapp.core.units import mass_text, number_text
from webapp.words.times import clock


def weigh_rows(recipe: GlassRecipe, kitchen: Kitchen) -> list[tuple[str, str]]:
    """(what, how much) of the liquid that is stirred together first."""
    return [
        ("Water, as warm as the room", _coarse(recipe.stock_water_g, kitchen)),
        ("Salt", _fine(recipe.stock_salt_g, recipe, kitchen)),
        (YEAST_NAMES[recipe.yeast_kind], _fine(recipe.stock_yeast_g, recipe, kitchen)),
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


def look_row(look: Look, kitchen: Kitchen) -> tuple[str, str, str]:
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
