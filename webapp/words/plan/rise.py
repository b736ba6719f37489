"""The dough and its room in words: where the model is outside its range, why so much yeast, why such water."""

from __future__ import annotations

import math
from typing import assert_never

from webapp.core.kinds import HeatUnit
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Making, Plan
from webapp.core.plan.rise import Beyond, RoomSpan
from webapp.core.rise import dough_heat
from webapp.core.rise.certainty import COLDEST_C, WARMEST_C
from webapp.core.rise.pace import N
from webapp.core.scale.mending import YEAST_WATER
from webapp.core.units import f_from_c, heat_text, number_text
from webapp.words.learned import LITTLE_LN, lesson_words, pace_of
from webapp.words.lists import joined, sentence
from webapp.words.plan.weights import ice_words, scales_of
from webapp.words.times import duration_words, hours_words, part_of_day

_GUESS = "the times are a guess."


def beyond_words(beyond: Beyond, unit: HeatUnit = "C") -> str:
    """One sentence for a number outside of what the model was fitted on."""
    said = _beyond(beyond, unit)
    return f"{beyond.part}: {said}" if beyond.part else said


def _beyond(beyond: Beyond, unit: HeatUnit) -> str:
    match beyond.kind:
        case "cold":
            return f"The dough gets to {_heat(beyond.temp_c, unit)}: below {_heat(COLDEST_C, unit)} {_GUESS}"
        case "hot":
            return f"The dough gets to {_heat(beyond.temp_c, unit)}: above {_heat(WARMEST_C, unit)} {_GUESS}"
        case "little-yeast":
            return f"With less than 0.05 % instant yeast {_GUESS}"
        case "much-yeast":
            return f"With more than 2 % instant yeast {_GUESS}"
        case "sugar":
            return "More than 8 % sugar slows yeast by more than is known here."
        case "fat":
            return "More than 10 % fat slows a dough by more than is known here."
        case "salt":
            return "More than 3.5 % salt slows yeast by more than is known here."
        case "stiff":
            wet, slower = number_text(beyond.percent, 1), number_text(beyond.slower, 2)
            said = f"With {wet} % water the dough is stiff: the plan takes it to rise {slower} times as slowly"
            return f"{said}, which is known of one stiff dough only."
        case "batter":
            return "Over 115 % water it is a batter: it may not hold its rise."
        case "too-far":
            return "It does not rise this far within 60 days."
        case "no-wait":
            return "The other stages alone bring it this far."
        case "hot-water":
            return "Water over 45 °C harms the yeast: warm the flour, or start with a cooler dough."
        case "ice":
            return "It takes ice: let it melt in the mixing."
        case "all-ice":
            return "Even all ice is not cold enough: chill the flour too."
        case _:
            assert_never(beyond.kind)


def _heat(celsius: float, unit: HeatUnit) -> str:
    return f"{number_text(f_from_c(celsius) if unit == 'F' else celsius, 1)} °{unit}"


def still_so(room: RoomSpan, kitchen: Kitchen, now: int) -> str:
    """How a reading of the room is spoken of afterwards: "26 °C last Thursday evening: still so"."""
    return f"{heat_text(room.temp_c, kitchen.heat_unit)} {part_of_day(room.start, kitchen.zone, now)}: still so"


def yeast_reasons(plan: Plan, made: Making) -> tuple[str, ...]:
    """Why this much yeast, in plain sentences with the numbers."""
    press = next(step for step in plan.steps if step.kind == "press")
    said = [
        f"From mixing until it is pressed out the dough has {duration_words(press.start - plan.rise.mixed_at)}; "
        f"kept at {heat_text(24.0, made.heat_unit)} it would rise as far in {duration_words(made.warm_s)}.",
        f"{made.instant_percent:.2g} % instant yeast, of the flour's weight, brings it to "
        f"{number_text(made.risen_times, 1)} times its volume in that time.",
        "Half the yeast takes about half as long again, not twice as long: yeast multiplies while it waits.",
    ]
    said += [taught] if (taught := taught_words(plan)) else []
    if made.sooner_s:
        hotter = heat_text(2.0, "C") if made.heat_unit == "C" else "4 °F"
        said.append(
            f"If the kitchen is {hotter} warmer than you said, the dough is ready about"
            f" {duration_words(made.sooner_s)} sooner; {hotter} cooler, about {duration_words(made.later_s)} later."
        )
    return tuple(said)


def taught_words(plan: Plan) -> str:
    """What past doughs changed in this plan's yeast, and what was seen of the last; "" when nothing to speak of."""
    if plan.lesson is None or abs(plan.vigour_ln_mean) < LITTLE_LN:
        return ""
    seen = lesson_words(plan.lesson.seen, f"×{number_text(plan.lesson.times, 1)}")
    pace = pace_of(plan.vigour_ln_mean)
    times = math.exp(-plan.vigour_ln_mean / N)  # so much yeast is as quick: its pace goes as yeast to the power of N
    return f"Doughs rise here {pace} (the last one: {seen}), so it takes {other_yeast_words(times)}."


def other_yeast_words(times: float) -> str:
    """So many times as much yeast, to five in a hundred; "" where that is as much."""
    percent = round(abs(times - 1.0) * 20) * 5
    return f"about {percent} % {'less' if times < 1 else 'more'} yeast" if percent else ""


def water_words(plan: Plan) -> str:
    """ "24 °C", and how to get there when the tap is warmer."""
    scales = scales_of(plan)
    said, ice = heat_text(plan.water_c, scales.heat_unit), ice_words(ice_of(plan), scales)
    return f"{said} ({ice})" if ice else said


def yeast_water_words(plan: Plan) -> str:
    """How warm the water is that the dough's yeast is stirred into; "" when it is not dosed so.

    All water is reckoned to be of one warmth. Where that takes ice, the ice is reckoned for a tap that fills the rest:
    so the yeast has its water from there, for in ice water it clumps (common practice).
    """
    if not any(line.part == "dough" and line.key == YEAST_WATER for line in plan.lines):
        return ""
    if ice_of(plan):
        return "The yeast’s water comes from the tap, without ice."
    return "The yeast’s water is to be as warm as that, where its line does not say warmer."


def cold_in_words(plan: Plan, made: Making) -> str:
    """What goes in straight from the fridge, and how hard fat is mixed in; "" when all is as warm as the kitchen."""
    if not made.from_fridge:
        return ""
    names = joined(name.lower() for name in made.from_fridge)
    fats = joined(line.name.lower() for line in plan.lines if line.kind == "fat" and line.name in made.from_fridge)
    thin = f"; shave the {fats} thin, so that it mixes in" if fats else ""
    return f"Straight from the fridge, not warmed: {names}{thin}."


def ice_of(plan: Plan) -> float:
    """Grams of the dough's water to take as ice."""
    return next((line.ice_g for line in plan.lines if line.ice_g), 0.0)


def water_reasons(plan: Plan, made: Making) -> tuple[str, ...]:
    """Why the water is so warm, and what the baker's rule says to it, in plain sentences with the numbers."""
    unit, dough_c, asked_c = made.heat_unit, plan.wanted_dough_c, made.asked_dough_c
    rise = made.mixing_rise_c * (1.8 if unit == "F" else 1.0)
    room, water = heat_text(made.room_c, unit), heat_text(plan.water_c, unit)
    cold = joined(name.lower() for name in made.from_fridge)
    chilled = f", {cold} from the fridge at {heat_text(plan.rise.reckoned_fridge_c, unit)}" if cold else ""
    short = abs(dough_c - asked_c) >= 0.5
    said = [
        f"A dough at {heat_text(asked_c, unit)} is wanted. Flour and all the rest come as warm as the kitchen, {room}"
        f"{chilled}, and mixing adds {number_text(rise, 1)} °{unit}: water at {water} "
        f"{'goes part of the way' if short else 'makes up for it'}.",
        _rule(plan, made),
    ]
    if short:
        edge = "colder water than that there is not" if dough_c > asked_c else "warmer harms yeast"
        said.insert(1, f"It comes to {heat_text(dough_c, unit)} all the same, for {edge}; the times are made for that.")
    ice = ice_words(ice_of(plan), scales_of(plan))
    return (*said, f"{sentence(ice)}.") if ice else tuple(said)


def _rule(plan: Plan, made: Making) -> str:
    """The three- or four-factor rule on whole degrees, as one does it on paper."""
    fahrenheit = made.heat_unit == "F"

    def whole(celsius: float) -> int:
        return int(number_text(f_from_c(celsius) if fahrenheit else celsius, 0))  # as it is said beside it

    wanted, room = whole(made.asked_dough_c), whole(made.room_c)
    friction = round(dough_heat.FRICTION_C[made.mixing] * (1.8 if fahrenheit else 1.0))
    if any(line.kind == "preferment" for line in plan.lines):
        name, times, less = "four", 4, f"{room} (room), {room} (flour), {room} (preferment)"
        found = dough_heat.four_factor(wanted, room, room, room, friction)
    else:
        name, times, less = "three", 3, f"{room} (room), {room} (flour)"
        found = dough_heat.three_factor(wanted, room, room, friction)
    return (
        f"The baker’s {name}-factor rule, as a check: {times} times {wanted}, less {less} and {friction} (friction), "
        f"makes {number_text(found, 0)} °{made.heat_unit}. It is a rule of thumb that does not ask how much water "
        "there is; the figure above counts it."
    )


def keeps_words(temp_c: float, keeps_s: int, unit: HeatUnit) -> str:
    """ "At 30 °C a dough keeps on the bench for about 6 h": the beginning of a sentence."""
    return f"At {heat_text(temp_c, unit)} a dough keeps on the bench for about {hours_words(keeps_s)}"
