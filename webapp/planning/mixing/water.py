"""The water of a plan: how warm, and how much of it as ice; why is said in words/plan/rise.py."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from webapp.core.formula.cold_way import comes_cold
from webapp.core.formula.ingredients import percent_of_kind
from webapp.core.plan.weights import OtherYeast, WeighLine
from webapp.core.rise import dough_heat
from webapp.core.scale.weighing import YEAST_WATER, weigh_out
from webapp.core.scale.yeasts import other_yeasts
from webapp.data import doughs
from webapp.planning.mixing import dough

COLDEST_WATER_C, WARMEST_WATER_C = 2.0, 40.0  # ice below, yeast suffers above (common practice)
COOL_DOUGH_C = 18.0  # a dough that is to be in the fridge soon is mixed no cooler (common practice: 18-20 C)
ICE_BELOW_TAP_C = 0.5  # a tap this little too warm is cold enough
LEAST_ICE_G = 1.0


def water_and_dough_c(batch: dough.Batch, room_c: float) -> tuple[float, float]:
    """Water as warm as the wanted dough needs it, within what water can be; and the dough that comes of it.

    A cool dough takes the tap's water as it comes, where that is not too cold for it, and ice only where its formula
    would have it.
    """
    water_g, portions = _heat_of(batch, room_c)
    rise = batch.kitchen.mixing_rise_c
    if water_g <= 0:  # a dough on milk alone: nothing is left to be warmed or cooled
        return room_c, dough_heat.mixed_dough_c(room_c, 0.0, portions, rise)
    wanted = dough_heat.water_c(batch.formula.wanted_dough_c, water_g, portions, rise)
    if batch.cool:
        cool = dough_heat.water_c(COOL_DOUGH_C, water_g, portions, rise)
        wanted = min(wanted, max(cool, batch.kitchen.tap_c))
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


def weighed(
    batch: dough.Batch, water_c: float, forgiven_percent: float
) -> tuple[tuple[WeighLine, ...], tuple[OtherYeast, ...]]:
    """The weigh-out list, and that of each other kind of yeast, with the ice; `forgiven_percent` as in `weigh_out`."""
    asked = (batch.formula, batch.dough_g, batch.kitchen, water_c, doughs.measures(), forgiven_percent)
    others = (replace(one, lines=with_ice(one.lines, water_c, batch)) for one in other_yeasts(*asked))
    return with_ice(weigh_out(*asked), water_c, batch), tuple(others)


def with_ice(lines: Sequence[WeighLine], water_c: float, batch: dough.Batch) -> tuple[WeighLine, ...]:
    """The weigh-out list with the ice at the final dough's water line."""
    ice = ice_g(water_c, batch)
    return tuple(
        replace(line, ice_g=ice) if line.kind == "water" and line.part == "dough" and line.key != YEAST_WATER else line
        for line in lines
    )
