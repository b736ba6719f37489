"""How to weigh: the notes of the weigh-out list, and the dosing of a little yeast, from their facts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import assert_never

from webapp.core.kinds import HeatUnit, MassUnit, YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import GRID_S
from webapp.core.plan.weights import Dosing, WeighLine, YeastWater
from webapp.core.rise.dough_heat import HOTTEST_WATER_C
from webapp.core.rise.pace import N
from webapp.core.scale.measures import SMALLEST_SPOON, TSP_PER_TBSP, level
from webapp.core.scale.mending import YEAST_WATER
from webapp.core.scale.weighing import as_poured
from webapp.core.units import heat_text, mass_beside, mass_text, number_text
from webapp.words.kinds.dough import yeast_name
from webapp.words.lists import joined, sentence
from webapp.words.plan import slots
from webapp.words.shared import SURE
from webapp.words.times import span_words

YEAST_WATER_NAME = "Yeast water"  # yeast and the water that it is weighed in
UNSEEN_PERCENT = 2.0  # of yeast: a hundredth of the hours, which nobody notices
EXACT_PERCENT = 10.0  # of yeast: what a level spoon is off by at its best (common practice)
COLD_WATER_C = 20.0  # instant yeast that meets colder water loses strength (makers say 21 C, 70 F; from memory)
WOKEN_C = 40.0  # active dry yeast is woken in water at 38-43 C (100-110 F, common practice)


@dataclass(frozen=True)
class Scales:
    """How amounts are read in the kitchen."""

    mass_unit: MassUnit = "g"
    heat_unit: HeatUnit = "C"
    micro_step_g: float = 0.0
    yeast_kind: YeastKind = "instant"
    tap_c: float = 0.0
    rise_s: int = 0  # from mixing to pressing out; 0 = not known
    beside: str = ""  # what comes cold into the dough beside warm water, and what that makes of it
    is_cold: bool = False  # the water, for instant yeast
    slots: bool = False  # amounts are written as slots, for another pan
    water_g: float = 0.0  # what the list says of the water, where all of it is one line; 0 = there are more


def scales_of(plan: Plan) -> Scales:
    """Those the plan was made for."""
    assert plan.making is not None, "a plan with facts"
    made = plan.making
    press = next((step.start for step in plan.steps if step.kind == "press"), 0)
    rise_s = max(0, press - plan.rise.mixed_at)
    cold = joined(name.lower() for name in made.from_fridge)
    dough = heat_text(plan.wanted_dough_c, made.heat_unit)
    beside = f": with {cold} from the fridge the dough comes to {dough}" if cold else ""
    is_cold = plan.water_c < COLD_WATER_C
    waters = [line.weigh_g for line in plan.lines if line.kind == "water"]
    told = (made.mass_unit, made.heat_unit, made.micro_step_g, plan.yeast_kind, made.tap_c, rise_s, beside, is_cold)
    return Scales(*told, water_g=waters[0] if len(waters) == 1 else 0.0)


def scales_here(kitchen: Kitchen, yeast_kind: YeastKind) -> Scales:
    """Those of a kitchen, with no plan yet."""
    return Scales(kitchen.mass_unit, kitchen.heat_unit, kitchen.micro_step_g, yeast_kind, kitchen.tap_c)


def named(lines: Sequence[WeighLine], kind: YeastKind) -> tuple[WeighLine, ...]:
    """The lines with names for what no formula names: the yeast, and the water that it is weighed in."""
    return tuple(_named(line, kind) for line in lines)


def _named(line: WeighLine, kind: YeastKind) -> WeighLine:
    if line.key == YEAST_WATER:
        return replace(line, name="Water that comes with the yeast")
    return replace(line, name=yeast_name(kind)) if line.kind == "yeast" else line


def by_hand(lines: Sequence[WeighLine]) -> tuple[WeighLine, ...]:
    """The lines as they are weighed by hand."""
    return as_poured(lines, YEAST_WATER_NAME)


def note(line: WeighLine, scales: Scales) -> str:
    """How to weigh this line: its warmth, its scale or dose, spoons as a hint, ice."""
    beside = scales.beside if line.kind == "water" else ""
    warm = f"At {heat_text(line.at_c, scales.heat_unit)}{beside}." if line.at_c is not None else ""
    spoons = line.teaspoons if line.weighed_by != "fine" else 0.0  # who has a fine scale needs no spoon
    hint = f"{_spoons(spoons, scales)} level." if spoons else ""
    ice = f"{sentence(ice_words(line.ice_g, scales))}." if line.ice_g else ""
    return " ".join(part for part in (warm, _weighed_by(line, scales), _salt_words(line, scales), hint, ice) if part)


def other_pan_note(line: WeighLine, scales: Scales) -> str:
    """The same with slots in place of amounts; how sure a dose is, the kitchen screen reckons for that pan."""
    return note(line, replace(scales, slots=True))


def _amount(grams: float, scales: Scales) -> str:
    return slots.grams(grams) if scales.slots else mass_text(grams, scales.mass_unit)


def _weighed_by(line: WeighLine, scales: Scales) -> str:
    match line.weighed_by:
        case "scale":
            return ""
        case "fine":  # a fine scale shows grams, whatever the kitchen counts in
            grams = f": {slots.fine(line.weigh_g) if scales.slots else mass_text(line.weigh_g, 'g', 2)}"
            return f"On the fine scale{grams if scales.mass_unit == 'oz' else ''}."
        case "too-little":
            return "Too little for the scale."
        case "dosed":
            return dose_words(line.dosing, scales, listed=scales.mass_unit == "g") if line.dosing else ""
        case "whole":
            return "All of it."
        case "poured":
            return "It is in the yeast water: pour nothing more for this line."
        case _:
            assert_never(line.weighed_by)


def _salt_words(line: WeighLine, scales: Scales) -> str:
    """What a coarse scale does to the salt, and the brine that does better."""
    off, brine = line.off_percent, line.brine
    much = f"{number_text(abs(off), 0)} % {'more' if off > 0 else 'less'} salt than asked for: the scale is too coarse."
    said = [much] if off else []
    if brine is not None:
        said.append(
            f"Better as a brine: stir {_amount(brine.salt_g, scales)} of salt into {_amount(brine.water_g, scales)} of "
            f"water until it is clear; {_amount(brine.take_g, scales)} of it goes in for the salt, and "
            f"{_amount(brine.take_water_g, scales)} less water. The rest keeps for next time."
        )
    return " ".join(said)


def dose_words(dose: Dosing, scales: Scales, listed: bool = False) -> str:
    """How to dose this little yeast, and how sure it is; `listed`: where its grams stand in a list."""
    match dose.kind:
        case "none":
            wanted = slots.ALL if scales.slots else mass_beside(dose.yeast_g, scales.mass_unit, 2)
            return f"{wanted} is too little for this kitchen's scale: it takes measuring spoons or a finer one."
        case "scale":
            weigh = "" if listed and not scales.slots else f"Weigh {_dose(dose.yeast_g, dose, scales)} of yeast."
        case "micro":
            weigh = f"On the fine scale{'' if listed else f', weigh {_dose(dose.yeast_g, dose, scales)} of yeast'}."
        case "spoon":
            weigh = f"Take {_spoons(dose.teaspoons, scales)} of yeast, level."
        case "yeast-water":
            return _yeast_water(dose, scales)
        case _:
            assert_never(dose.kind)
    exact = _more_exact(dose.exact, scales) if dose.exact and not scales.slots else ""
    parts = (weigh, sure_words(dose, scales, listed), _spoon(dose, scales), woken_words(scales), exact)
    return " ".join(said for said in parts if said)


def _yeast_water(dose: Dosing, scales: Scales) -> str:
    said = [*_stirred(dose, scales), f"{_dose(dose.take_g, dose, scales)} of it goes in; throw the rest away."]
    return " ".join(one for one in (*said, sure_words(dose, scales), _spoon(dose, scales)) if one)


def _more_exact(water: YeastWater, scales: Scales) -> str:
    """A yeast water in place of a spoon: the list has all of the water, so that is said too."""
    stirred = "; ".join(f"{one[:1].lower()}{one[1:]}".rstrip(".") for one in _stirred(water, scales))
    take, less = (_shown(grams, water.step_g, scales) for grams in (water.take_g, water.take_water_g))
    rest_g = scales.water_g - water.take_water_g
    rest = f": {_shown(rest_g, water.step_g, scales)}" if scales.water_g and rest_g > 0 else ""
    return f"More exact: {stirred}; {take} of it goes in, and {less} less water{rest}."


def _stirred(dose: Dosing | YeastWater, scales: Scales) -> list[str]:
    """How a yeast water is made."""
    stock = _shown(dose.stock_yeast_g, dose.stock_step_g, scales)
    water = _shown(dose.stock_water_g, dose.step_g, scales)
    warm = f" at about {heat_text(WOKEN_C, scales.heat_unit)}" if scales.yeast_kind == "active-dry" else ""
    clear = ": ten minutes later it foams" if warm else " until none is left to see"
    said = [f"Stir {stock} of {yeast_name(scales.yeast_kind).lower()} into {water} of water{warm}{clear}."]
    if dose.part_g:
        part, more = (_shown(grams, dose.step_g, scales) for grams in (dose.part_g, dose.more_water_g))
        said.append(f"Stir {part} of that into {more} of water.")
    return said


def woken_words(scales: Scales) -> str:
    """What active dry yeast wants before it goes in, and instant yeast beside cold water; "" for the others."""
    if scales.yeast_kind == "instant" and scales.is_cold:
        return "Stir it into the flour first: water this cold weakens it."
    if scales.yeast_kind != "active-dry":
        return ""
    warm, most = (heat_text(temp_c, scales.heat_unit) for temp_c in (WOKEN_C, HOTTEST_WATER_C))
    return f"Wake it first in a little of the water at about {warm}, never over {most}: ten minutes, until it foams."


def _dose(grams: float, dose: Dosing, scales: Scales) -> str:
    """What the scale shall show of a dose."""
    return slots.ALL if scales.slots else _shown(grams, dose.step_g, scales)


def _spoons(teaspoons: float, scales: Scales) -> str:
    return slots.SPOONS if scales.slots else spoons_words(teaspoons)


def sure_words(dose: Dosing, scales: Scales, listed: bool = False) -> str:
    """That this dose will do, or what it may do to the time; `sureOf` in static/js/step/dose.js for another pan."""
    if scales.slots:
        return ""
    is_near, off = dose.is_forgiven and dose.error_percent > UNSEEN_PERCENT, _off(dose.error_percent, scales)
    if off:
        return SURE["sure-near-off" if is_near else "sure-off-time"].replace("{off}", off)
    if is_near:
        return SURE["sure-near"]
    if dose.error_percent <= EXACT_PERCENT:
        return "" if listed else SURE["sure-exact"]
    return SURE["sure-off"].replace("{percent}", number_text(dose.error_percent, 0))


def _spoon(dose: Dosing, scales: Scales) -> str:
    """The spoon that could be taken instead."""
    if not dose.spoon_error_percent or scales.slots:
        return ""
    off = _off(dose.spoon_error_percent, scales)
    return f"Or {spoons_words(dose.teaspoons)}, level{f': ready up to {off} sooner or later' if off else ''}."


def _off(error_percent: float, scales: Scales) -> str:
    """ "50 min": what an error may do to the time of pressing, where somebody would see it; else "".

    The time goes as the yeast to the power of -N, so that too little of it moves it most.
    """
    share = min(error_percent, 90.0) / 100.0
    off_s = round(scales.rise_s * (math.pow(1.0 - share, -N) - 1.0) / GRID_S) * GRID_S
    return span_words(off_s) if off_s > GRID_S else ""


def _shown(grams: float, step_g: float, scales: Scales) -> str:
    """As that scale shows it. A fine scale shows grams in a kitchen of ounces too: 0.01 oz would be 0.3 g."""
    if scales.mass_unit == "oz" and step_g != scales.micro_step_g:
        return mass_text(grams, "oz")
    return mass_text(grams, "g", 0 if step_g >= 1 else 1 if step_g >= 0.1 else 2)


def spoons_words(teaspoons: float) -> str:
    """ "1 tbsp + 1 1/2 tsp", "1/4 + 1/8 tsp": what is taken from a set of spoons, level; of a dose that was made for
    another pan the nearest, as in static/js/step/dose.js."""
    tablespoons, rest = divmod(level(teaspoons), TSP_PER_TBSP)
    return " + ".join([f"{tablespoons} tbsp"] * bool(tablespoons) + [f"{_mixed(rest)} tsp"] * bool(rest))


def _mixed(number: Fraction) -> str:
    """Of a whole and a part, an odd eighth as the spoons that make it: no set has one of three eighths."""
    whole, part = divmod(number, 1)
    if part.denominator == 8 and part.numerator > 1:
        return f"{part - SMALLEST_SPOON} + {SMALLEST_SPOON}"
    return f"{whole} {part}" if whole and part else str(part or whole)


def dosing_words(lines: Sequence[WeighLine], scales: Scales) -> str:
    """How to weigh the yeast of these lines; of preferment and dough when both have some."""
    return " ".join(dose_words(line.dosing, scales) for line in lines if line.dosing)


def ice_words(ice_g: float, scales: Scales) -> str:
    """ "45 g of it as ice, for the tap runs at 18 °C: let it melt"; "" without ice."""
    if not ice_g:
        return ""
    tap = heat_text(scales.tap_c, scales.heat_unit)
    return f"{_amount(ice_g, scales)} of it as ice, for the tap runs at {tap}: let it melt"


def mass_of_line(line: WeighLine, unit: MassUnit = "g") -> str:
    """ "336 g water": the weighed amount and the name in running text."""
    return f"{mass_text(line.weigh_g, unit)} {line.name[:1].lower()}{line.name[1:]}"


def pour_list(lines: Sequence[WeighLine], unit: MassUnit = "g") -> str:
    """All lines in pouring order as one phrase."""
    return joined(mass_of_line(line, unit) for line in lines)


def part_name(plan: Plan, part: str) -> str:
    """What is made ahead, by the name that its formula gives it: "Poolish"."""
    return next((line.name for line in plan.lines if line.kind == "preferment" and line.key == part), part)


def yeast_dose_words(plan: Plan, unit: MassUnit) -> str:
    """How much yeast, on every page in the same way: "1.55 g (1/2 tsp)"; "3 g" where no spoon says as much."""
    lines = [line for line in plan.lines if line.kind == "yeast"]
    grams = mass_text(math.fsum(line.weigh_g for line in lines), unit)
    if lines and all(line.dosing and line.dosing.teaspoons for line in lines):
        return f"{grams} ({spoons_words(math.fsum(line.dosing.teaspoons for line in lines if line.dosing))})"
    return grams


def yeast_words(plan: Plan) -> str:
    """ "2.45 g of yeast": all of it, preferment and dough."""
    grams = sum(line.weigh_g for line in plan.lines if line.kind == "yeast")
    return f"{mass_beside(grams, plan.making.mass_unit if plan.making else 'g', 2)} of yeast"
