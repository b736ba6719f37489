"""Water temperature, mixed dough temperature, and the warming and cooling of dough.

Specific heats: flour 1.8, water 4.18, fat 2.0, salt and sugar 1.2 kJ/kgK (flour and water as in the heat balance of
the trade notes, fat, salt, sugar from memory); latent heat of ice 334 kJ/kg.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.kinds import HeatedPlace, Mixing, Vessel
from webapp.core.plan.rise import Beyond

# Friction factors of the baker's rule, C: about three times the true warming (Cook's Illustrated: 5, 20 and 25 F).
FRICTION_C: dict[Mixing, float] = {"hand": 5 / 1.8, "mixer": 20 / 1.8, "processor": 25 / 1.8}
FLOUR_HEAT, WATER_HEAT, FAT_HEAT, SOLUTE_HEAT = 1.8, 4.18, 2.0, 1.2  # kJ/kgK
ICE_KJ_PER_KG = 334.0
DOUGH_HEAT = 2.7  # kJ/kgK
MIXED_DENSITY = 1120.0  # kg/m3, just mixed
DOUGH_DIFFUSIVITY = 0.42 / (MIXED_DENSITY * DOUGH_HEAT * 1000.0)  # m2/s from k = 0.42 W/mK

# Total heat transfer, W/m2K (convection and radiation): 8-10 bare, 5-8 through a covered bowl, fridge with fan 10-15
# (from memory, as is the 10-30 % of a closed tub); an oven at baking heat 15-25.
HEAT_TRANSFER: dict[tuple[Vessel, HeatedPlace], float] = {
    ("bowl", "bench"): 8.0, ("bowl", "fridge"): 10.0, ("bowl", "warm"): 8.0,
    ("tub", "bench"): 6.7, ("tub", "fridge"): 8.3, ("tub", "warm"): 6.7,
    ("tray", "bench"): 8.0, ("tray", "fridge"): 10.0, ("tray", "warm"): 8.0,
    ("bowl", "oven"): 20.0, ("tub", "oven"): 20.0, ("tray", "oven"): 20.0,
}  # fmt: skip
TRAY_THICKNESS_CM = 1.0  # where it is not known: between pressing and loading (see its test)


def time_constant_s(
    mass_g: float, vessel: Vessel, place: HeatedPlace, thickness_cm: float = TRAY_THICKNESS_CM
) -> float:
    """Seconds in which dough of this mass closes 63 % of the gap to its surroundings.

    Lumped m c / (h A) plus half the inner conduction time. Bowl and tub: a hemisphere, curved and flat surface;
    tray: a slab of this thickness, both faces. PlanError for an unknown vessel or place, or no dough.
    """
    if (vessel, place) not in HEAT_TRANSFER:
        raise PlanError.at("vessel", "no-vessel", vessel=vessel, place=place)
    if not 0 < mass_g < math.inf or not 0 < thickness_cm < math.inf:
        raise PlanError.at("mass", "no-dough")
    h = HEAT_TRANSFER[vessel, place]
    if vessel == "tray":
        half = thickness_cm / 200.0
        return MIXED_DENSITY * DOUGH_HEAT * 1000.0 * half / h + _inner_s(half * 2.0 / math.pi) / 2.0
    radius = math.cbrt(1.5 * mass_g / 1000.0 / MIXED_DENSITY / math.pi)
    area = 3.0 * math.pi * radius * radius
    return mass_g * DOUGH_HEAT / (h * area) + _inner_s(radius / math.pi) / 2.0


def _inner_s(length_m: float) -> float:
    return length_m * length_m / DOUGH_DIFFUSIVITY


def share_per_minute(tau_s: float) -> float:
    """Share of the gap to the surroundings closed in 60 s: 1 - exp(-60 / tau)."""
    return -math.expm1(-60.0 / tau_s)


@dataclass(frozen=True)
class Portion:
    """Something that goes into the dough besides the water."""

    grams: float
    temp_c: float
    heat: float = FLOUR_HEAT  # kJ/kgK


def water_c(wanted_c: float, water_g: float, portions: Iterable[Portion], mixing_rise_c: float = 0.0) -> float:
    """Water temperature, C, for the wanted dough temperature: a heat balance.

    `mixing_rise_c` is the true warming by mixing in this kitchen. Below 0 no water can do it: see `ice_g`.
    """
    mixed = wanted_c - mixing_rise_c
    return mixed + math.fsum(p.grams * p.heat * (mixed - p.temp_c) for p in portions) / (water_g * WATER_HEAT)


def mixed_dough_c(poured_c: float, water_g: float, portions: Iterable[Portion], mixing_rise_c: float = 0.0) -> float:
    """Dough temperature at the end of mixing, C; the inverse of `water_c`."""
    rows = (*portions, Portion(water_g, poured_c, WATER_HEAT))
    heat = math.fsum(p.grams * p.heat for p in rows)
    return math.fsum(p.grams * p.heat * p.temp_c for p in rows) / heat + mixing_rise_c


def ice_g(water_g: float, tap_c: float, wanted_c: float) -> float:
    """Ice in place of the same weight of tap water so that it comes to `wanted_c`; `water_g` is water and ice together.

    W (tap - wanted) / (tap + 80), 80 = 334 / 4.18 (form of Gisslen, *Professional Baking*, from memory); 0 when the
    tap is cold enough; never more than all of it.
    """
    if wanted_c >= tap_c:
        return 0.0
    return min(water_g, water_g * (tap_c - wanted_c) / (tap_c + ICE_KJ_PER_KG / WATER_HEAT))


def three_factor(wanted: float, room: float, flour: float, friction: float) -> float:
    """The baker's rule: three times the wanted dough temperature less room, flour and friction factor; C or F alike."""
    return 3.0 * wanted - (room + flour + friction)


def four_factor(wanted: float, room: float, flour: float, preferment: float, friction: float) -> float:
    """The same with a preferment: four times the wanted temperature less the four."""
    return 4.0 * wanted - (room + flour + preferment + friction)


HOTTEST_WATER_C = 45.0  # yeast dies in hotter water (bakers' limit 46 C, bakeinfo.co.nz)


def water_limits(poured_c: float, water_g: float, ice: float) -> tuple[Beyond, ...]:
    """Where no water can do what is asked: too hot for the yeast, or colder than all ice."""
    rows = (
        (poured_c > HOTTEST_WATER_C, Beyond("hot-water")),
        (poured_c < 0 and ice < water_g, Beyond("ice")),
        (0 < water_g <= ice, Beyond("all-ice")),
    )
    return tuple(beyond for outside, beyond in rows if outside)
