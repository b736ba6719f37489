"""The water of a plan: how warm, how much of it as ice, and why, with the baker's rule beside it as a check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from webapp.core.formula.cold_way import comes_cold
from webapp.core.formula.ingredients import percent_of_kind
from webapp.core.kinds import Mixing
from webapp.core.plan import WeighLine
from webapp.core.rise import dough_heat
from webapp.core.scale.weighing import YEAST_WATER
from webapp.core.units import f_from_c, heat_text, mass_text, number_text
from webapp.core.wording import joined
from webapp.planning import dough

COLDEST_WATER_C, WARMEST_WATER_C = 2.0, 40.0  # ice below, yeast suffers above (common practice)
ICE_BELOW_TAP_C = 0.5  # a tap this little too warm is cold enough
LEAST_ICE_G = 1.0
# Friction factors of the baker's rule, C: about three times the true warming (Cook's Illustrated: 5, 20 and 25 F).
FRICTION_C: dict[Mixing, float] = {"hand": 5 / 1.8, "mixer": 20 / 1.8, "processor": 25 / 1.8}


def water_and_dough_c(batch: dough.Batch, room_c: float) -> tuple[float, float]:
    """Water as warm as the wanted dough needs it, within what water can be; and the dough that comes of it."""
    water_g, portions = _heat_of(batch, room_c)
    rise = batch.kitchen.mixing_rise_c
    if water_g <= 0:  # a dough on milk alone: nothing is left to be warmed or cooled
        return room_c, dough_heat.mixed_dough_c(room_c, 0.0, portions, rise)
    wanted = dough_heat.water_c(batch.formula.wanted_dough_c, water_g, portions, rise)
    water_c = min(WARMEST_WATER_C, max(COLDEST_WATER_C, wanted))
    return water_c, dough_heat.mixed_dough_c(water_c, water_g, portions, rise)


def mixed_in(batch: dough.Batch, room_c: float, staged: bool) -> float:
    """How warm this dough really is at the end of mixing, `staged` with its preferment and else without."""
    formula = dough.with_preferment(batch.formula) if staged else replace(batch.formula, preferment=None)
    return water_and_dough_c(replace(batch, formula=formula), room_c)[1]


def _heat_of(batch: dough.Batch, room_c: float) -> tuple[float, list[dough_heat.Portion]]:
    """The water that can still be warmed (grams), and all else: from the fridge what is kept there, the rest, a
    preferment included, as warm as the kitchen."""
    formula, flour = batch.formula, batch.flour_g
    ahead = formula.preferment
    share = ahead.flour_percent / 100.0 if ahead else 0.0
    wet = share * ahead.hydration_percent if ahead else 0.0
    portions = [dough_heat.Portion(flour * (1.0 - share), room_c)]
    if ahead:
        portions.append(dough_heat.Portion(dough.sponge_g(batch, ahead), room_c, dough_heat.DOUGH_HEAT))
    for one in formula.ingredients:
        if one.kind not in ("flour", "water"):
            dry = dough_heat.FAT_HEAT if one.kind == "fat" else dough_heat.SOLUTE_HEAT
            heat = one.water_share * dough_heat.WATER_HEAT + (1.0 - one.water_share) * dry
            comes_c = batch.kitchen.fridge_c if comes_cold(one) else room_c
            portions.append(dough_heat.Portion(flour * one.percent / 100.0, comes_c, heat))
    return flour * (percent_of_kind(formula, "water") - wet) / 100.0, portions


def ice_g(water_c: float, batch: dough.Batch) -> float:
    """Grams of the water to take as ice, 0 when this kitchen's tap is cold enough."""
    tap_c = batch.kitchen.tap_c
    if water_c >= tap_c - ICE_BELOW_TAP_C:
        return 0.0
    ice = dough_heat.ice_g(_heat_of(batch, water_c)[0], tap_c, water_c)
    return ice if ice >= LEAST_ICE_G else 0.0


def water_words(water_c: float, batch: dough.Batch) -> str:
    """ "24 °C", and how to get there when the tap is warmer."""
    said, ice = heat_text(water_c, batch.kitchen.heat_unit), _ice_words(water_c, batch)
    return f"{said} ({ice})" if ice else said


def _ice_words(water_c: float, batch: dough.Batch) -> str:
    ice, kitchen = ice_g(water_c, batch), batch.kitchen
    if not ice:
        return ""
    tap = heat_text(kitchen.tap_c, kitchen.heat_unit)
    return f"{mass_text(ice, kitchen.mass_unit)} of it as ice, for the tap runs at {tap}: let it melt"


def with_ice(lines: Sequence[WeighLine], water_c: float, batch: dough.Batch) -> tuple[WeighLine, ...]:
    """The weigh-out list with the ice at the final dough's water line."""
    words = _ice_words(water_c, batch)
    if not words:
        return tuple(lines)
    said = f"{words[:1].upper()}{words[1:]}."
    return tuple(
        replace(line, note=f"{line.note} {said}".strip())
        if line.kind == "water" and line.part == "dough" and line.key != YEAST_WATER
        else line
        for line in lines
    )


def water_reasons(water_c: float, dough_c: float, room_c: float, batch: dough.Batch) -> tuple[str, ...]:
    """Why the water is so warm, and what the baker's rule says to it, in plain sentences with the numbers."""
    unit = batch.kitchen.heat_unit
    rise = batch.kitchen.mixing_rise_c * (1.8 if unit == "F" else 1.0)
    asked = heat_text(batch.formula.wanted_dough_c, unit)
    cold = joined(dict.fromkeys(one.name.lower() for one in batch.formula.ingredients if comes_cold(one)))
    chilled = f", {cold} from the fridge at {heat_text(batch.kitchen.fridge_c, unit)}" if cold else ""
    short = abs(dough_c - batch.formula.wanted_dough_c) >= 0.5
    said = [
        f"A dough at {asked} is wanted. Flour and all the rest come as warm as the kitchen, {heat_text(room_c, unit)}"
        f"{chilled}, and mixing adds {number_text(rise, 1)} °{unit}: water at {heat_text(water_c, unit)} "
        f"{'goes part of the way' if short else 'makes up for it'}.",
        _rule(batch, room_c),
    ]
    if short:
        edge = "colder water than that there is not" if dough_c > batch.formula.wanted_dough_c else "warmer harms yeast"
        said.insert(1, f"It comes to {heat_text(dough_c, unit)} all the same, for {edge}; the times are made for that.")
    ice = _ice_words(water_c, batch)
    return (*said, f"{ice[:1].upper()}{ice[1:]}.") if ice else tuple(said)


def _rule(batch: dough.Batch, room_c: float) -> str:
    """The three- or four-factor rule on whole degrees, as one does it on paper."""
    kitchen = batch.kitchen
    fahrenheit = kitchen.heat_unit == "F"

    def whole(celsius: float) -> int:
        return round(f_from_c(celsius) if fahrenheit else celsius)

    wanted, room = whole(batch.formula.wanted_dough_c), whole(room_c)
    friction = round(FRICTION_C[kitchen.mixing] * (1.8 if fahrenheit else 1.0))
    if batch.formula.preferment:
        name, times, less = "four", 4, f"{room} (room), {room} (flour), {room} (preferment)"
        found = dough_heat.four_factor(wanted, room, room, room, friction)
    else:
        name, times, less = "three", 3, f"{room} (room), {room} (flour)"
        found = dough_heat.three_factor(wanted, room, room, friction)
    return (
        f"The baker’s {name}-factor rule, as a check: {times} times {wanted}, less {less} and {friction} (friction), "
        f"makes {number_text(found, 0)} °{kitchen.heat_unit}. It is a rule of thumb that does not ask how much water "
        "there is; the figure above counts it."
    )
