"""How to weigh very little yeast with what the kitchen owns, and how far off it may be.

Three ways beside the kitchen scale: a fine scale; a yeast water (a weighable amount stirred into some of the recipe's
own water, of which a part is used); measuring spoons. Chosen by error: half a step of the scale over the amount
weighed, or what a spoon's filling does.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

from webapp.core.kinds import YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Dosing
from webapp.core.scale.measures import Measure, in_spoons
from webapp.core.units import g_from_oz

GOOD_ON_SCALE, GOOD_ON_MICRO = 5.0, 10.0  # percent error that needs nothing better
STOCK_YEAST_G = (1.0, 2.0, 5.0, 10.0)  # more than 10 g of yeast for one dose is waste
STOCK_WATER_G = (50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0)
STOCK_YEAST_OZ = (0.05, 0.1, 0.25, 0.35)  # the same for a scale that shows ounces
STOCK_WATER_OZ = (2.0, 4.0, 5.0, 7.0, 9.0, 10.0, 14.0, 18.0)
HOPELESS = 60.0  # percent error of the best way beyond which it is none
TAKE_STEPS = {"g": 20, "oz": 10}  # the part used should be this many steps of the scale; an ounce's are coarser
MOST_WITH_YEAST = 0.5  # of the recipe's water may come with the yeast


def dosing(
    yeast_g: float,
    kitchen: Kitchen,
    yeast_kind: YeastKind = "instant",
    water_g: float = math.inf,
    measures: Mapping[str, Measure] | None = None,
) -> Dosing:
    """The best way to dose this much yeast with what the kitchen owns; `water_g` is the recipe's water.

    The kitchen scale when it is good to 5 %, else a fine scale good to 10 %, else whichever is off by least. Without
    `measures` (see larder.measures) spoons are not offered.
    """
    ways = list(_ways(yeast_g, kitchen, yeast_kind, water_g, measures or {}))
    for kind, good in (("scale", GOOD_ON_SCALE), ("micro", GOOD_ON_MICRO)):
        for way in ways:
            if way.kind == kind and way.error_percent <= good:
                return way
    best = min(ways, key=lambda way: way.error_percent)
    return best if best.error_percent <= HOPELESS else Dosing("none", 100.0, yeast_g)


def _ways(
    yeast_g: float, kitchen: Kitchen, yeast_kind: YeastKind, water_g: float, measures: Mapping[str, Measure]
) -> Iterator[Dosing]:
    yield _on_scale(yeast_g, kitchen.scale_step_g, "scale")
    if kitchen.micro_step_g > 0:
        yield _on_scale(yeast_g, kitchen.micro_step_g, "micro")
    yield from _yeast_water(yeast_g, kitchen, water_g)
    measure = measures.get(f"yeast-{yeast_kind}")
    if kitchen.has_spoons and measure is not None:
        yield _by_spoon(yeast_g, measure)


def to_step(grams: float, step_g: float) -> float:
    """The nearest weight a scale of this step can show, never nothing."""
    return max(1, math.floor(grams / step_g + 0.5)) * step_g


def _on_scale(yeast_g: float, step_g: float, kind: Literal["scale", "micro"]) -> Dosing:
    weighed = to_step(yeast_g, step_g)
    error = 100.0 * max(step_g / 2.0, abs(weighed - yeast_g)) / yeast_g
    return Dosing(kind, error, weighed, step_g=step_g)


def _yeast_water(yeast_g: float, kitchen: Kitchen, water_g: float) -> Iterator[Dosing]:
    step = kitchen.scale_step_g
    fine = min(step, kitchen.micro_step_g) if kitchen.micro_step_g > 0 else step
    stocks, all_waters = _stocks(kitchen)
    stock = next((g for g in stocks if g >= max(5 * fine, yeast_g) - 1e-9), 0.0)
    if not stock:
        return
    waters = [w for w in all_waters if yeast_g * w / stock <= MOST_WITH_YEAST * water_g]
    if not waters:
        return
    water = next((w for w in waters if yeast_g * (w / stock + 1) >= TAKE_STEPS[kitchen.mass_unit] * step), waters[-1])
    take = to_step(yeast_g * (water + stock) / stock, step)
    given = take * stock / (water + stock)
    error = 100.0 * (fine / 2.0 / stock + step / 2.0 / water + max(step / 2.0 / take, abs(given / yeast_g - 1)))
    yield Dosing("yeast-water", error, given, stock, water, take, take - given, step, fine)


def _stocks(kitchen: Kitchen) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Yeast and water for a yeast water, grams, round on this kitchen's scales; a fine scale shows grams everywhere."""
    if kitchen.mass_unit != "oz":
        return STOCK_YEAST_G, STOCK_WATER_G
    yeast = STOCK_YEAST_G if kitchen.micro_step_g > 0 else tuple(g_from_oz(oz) for oz in STOCK_YEAST_OZ)
    return yeast, tuple(g_from_oz(oz) for oz in STOCK_WATER_OZ)


def _by_spoon(yeast_g: float, measure: Measure) -> Dosing:
    spoons = in_spoons(yeast_g, measure)
    error = measure.spread_percent + 100.0 * abs(spoons.grams - yeast_g) / yeast_g
    return Dosing("spoon", error, spoons.grams, teaspoons=float(spoons.teaspoons))
