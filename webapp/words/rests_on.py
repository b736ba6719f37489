"""What a day rests on, in words: the four answers of the home page, each a tap away from being changed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from webapp.core.kinds import ClockStyle
from webapp.core.kitchen import AwaySpan, Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import GRID_S
from webapp.core.plan.tray import Pan
from webapp.core.units import heat_text, heats_text, mass_text
from webapp.words.kinds.dough import yeast_name
from webapp.words.kinds.oven import slab_word
from webapp.words.kinds.pans import counted
from webapp.words.kinds.places import place_word
from webapp.words.plan.oven import dial_end
from webapp.words.plan.rise import other_yeast_words
from webapp.words.plan.whose import SOMEBODY_ELSE
from webapp.words.times import HELD, clock

AS_USUAL_C = 0.5  # a kitchen swings by more within an hour (common practice)


def pans_words(pans: Sequence[Pan]) -> str:
    """ "Oven tray", "2 \u00d7 Oven tray": the name without its size, which its owner knows."""
    return counted((pan.called or pan.name, pan.count) for pan in pans)


def sized_words(pans: Sequence[Pan]) -> str:
    """ "Oven tray 38\u00d728 cm", "2 \u00d7 Oven tray 38\u00d728 cm": each with its size, held to one line."""
    return counted((pan.name.replace(" x ", "\u00d7").replace(" cm", f"{HELD}cm"), pan.count) for pan in pans)


EVENINGS_LATER = {"1": "the evening after", "2": "two evenings later", "3": "three evenings later"}


def baked_words(pans: Sequence[Pan], at_once: int, as_they_come: bool, kept_for: str) -> str:
    """The pans, how many of several go into the oven together, how they are eaten where that was said, and for when
    there is as much dough again."""
    kept = f"as much dough again for {EVENINGS_LATER[kept_for]}" if kept_for else ""
    come = "eaten as they come" if as_they_come else ""
    together = together_words(sum(pan.count for pan in pans), at_once)
    return ", ".join(one for one in (sized_words(pans), together, come, kept) if one)


def together_words(pans: int, at_once: int) -> str:
    """ "baked one after the other", "baked 2 at once", "all baked at once"; "" of a single pan."""
    if pans < 2:
        return ""
    if at_once >= pans:
        return f"{'both' if pans == 2 else 'all'} baked at once"
    return "baked one after the other" if at_once == 1 else f"baked {at_once} at once"


def dough_words(dough: str, on_top: str) -> str:
    """ "Plain tray pizza with tomato", or "with nothing on top"."""
    return f"{dough} with {on_top[:1].lower()}{on_top[1:]}" if on_top else f"{dough}, nothing on top"


def warmth_words(kitchen: Kitchen, since: str = "") -> str:
    """ "kitchen 18\u201321 \u00b0C", "kitchen 21\u201324 \u00b0C today": from the coolest part of
    its day to the warmest.

    `since` is of which day that is, where it is not the usual one.
    """
    return f"kitchen {_room(kitchen)} {since}".rstrip()


def _room(kitchen: Kitchen) -> str:
    temps = [part.temp_c for part in kitchen.room]
    return heats_text(min(temps), max(temps), kitchen.heat_unit)


def known_words(kitchen: Kitchen) -> dict[str, str]:
    """What is known of a kitchen, a line for each part of its settings: seen without unfolding it."""
    fridge = heat_text(kitchen.fridge_c, kitchen.heat_unit)
    lies_in = slab_word(kitchen.oven.slab)
    micro_g = kitchen.micro_step_g  # a fine scale shows grams, whatever the kitchen counts in
    finest = mass_text(micro_g, "g", 2) if micro_g else mass_text(kitchen.scale_step_g, kitchen.mass_unit)
    return {
        "warmth": f"{_room(kitchen)}, the fridge {fridge}",
        "pans": sized_words(kitchen.pans),
        "oven": f"Up to {dial_end(kitchen.oven)}, {lies_in[:1].lower()}{lies_in[1:]}",
        "scale": f"{yeast_name(kitchen.yeast_kind)}, weighed to {finest}",
        "units": f"{kitchen.zone.replace('_', ' ')} time",
    }


def effect_words(plan: Plan, usual: Plan, apart_c: float, style: ClockStyle) -> str:
    """What a kitchen that is so many degrees warmer than usual did to a day, in a line: "Warmer than usual: the dough
    waits in the fridge." Yeast as it is measured out; "" where the kitchen is as usual."""
    if abs(apart_c) < AS_USUAL_C:
        return ""
    return f"{'Warmer' if apart_c > 0 else 'Cooler'} than usual: {_changed(plan, usual, style)}."


def _changed(plan: Plan, usual: Plan, style: ClockStyle) -> str:
    if plan.trade.method != usual.trade.method:
        is_cold, was_cold = _waits_cold(plan), _waits_cold(usual)
        if is_cold == was_cold:
            return f"“{plan.trade.method_name}” suits it better than “{usual.trade.method_name}”"
        cold, warm = place_word("fridge"), place_word("bench")
        return f"the dough waits {cold if is_cold else f'{warm}, not {cold}'}"
    said = []
    times = _yeast_g(plan) / _yeast_g(usual)
    if other := other_yeast_words(times):
        said.append(other)
    mix, was = (next(step.start for step in one.steps if step.kind == "mix") for one in (plan, usual))
    if abs(mix - was) > GRID_S:  # no news where it is the next mark of the grid
        at, before = (clock(one, plan.zone, style) for one in (mix, was))
        said.append(f"mixed at {at}, not {before}")
    return ", ".join(said) or "yeast and hours stay"


def _yeast_g(plan: Plan) -> float:
    return math.fsum(line.weigh_g for line in plan.lines if line.kind == "yeast")


def _waits_cold(plan: Plan) -> bool:
    return any(step.place == "fridge" for step in plan.steps if step.chain)


def who_words(
    hours: Sequence[tuple[str, Sequence[AwaySpan]]], supper_min: int, minute: MinuteWords, else_from: int | None = None
) -> str:
    """ "home all day", "home from 17:45", "Ana home from 16:00": of several people the first to be there.

    `hours`: name and hours away of each on the day of supper; `minute` writes a minute of that day. `else_from`: since
    when somebody is there who is not of the house.
    """
    said = _of_the_house(hours, supper_min, minute)
    return said if else_from is None else f"{said}, {SOMEBODY_ELSE} from {minute(else_from)}"


def _of_the_house(hours: Sequence[tuple[str, Sequence[AwaySpan]]], supper_min: int, minute: MinuteWords) -> str:
    homes = [(_home_from(away, supper_min), name) for name, away in hours]
    at, name = min(homes, key=lambda one: one[0])
    who = f"{name} home" if len(hours) > 1 else "home"
    if at < 0:
        return f"{who} all day"
    return f"{who} from {minute(at)}"


class MinuteWords(Protocol):
    """Writes minutes after midnight as a time."""

    def __call__(self, minute: int, /) -> str: ...


def _home_from(away: Sequence[AwaySpan], supper_min: int) -> int:
    """When the hours away that lie before supper end, minutes of the day; -1 when there are none."""
    return max((one.to_min for one in away if one.from_min < supper_min), default=-1)
