"""How to weigh very little yeast with what the kitchen owns, and how far off it may be.

Three ways beside the kitchen scale: a fine scale; a yeast water (a weighable amount stirred into water, of which a part
is used, or a part of a part); measuring spoons. Chosen by error: half a step of the scale over the amount weighed, or
what a spoon's filling does. Of the yeast waters that are good enough the one that wastes least.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from webapp.core.kinds import YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Dosing, YeastWater
from webapp.core.scale.measures import TSP_PER_TBSP, Measure, in_spoons
from webapp.core.units import g_from_oz

GOOD_ON_SCALE, GOOD_ON_MICRO = 5.0, 10.0  # percent error that needs nothing better
STOCK_YEAST_G = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)  # more than 10 g of yeast for one dose is waste
STOCK_WATER_G = (20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0)
STOCK_YEAST_OZ = (0.05, 0.1, 0.15, 0.2, 0.25, 0.35)  # the same for a scale that shows ounces
STOCK_WATER_OZ = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 9.0, 10.0, 14.0, 18.0)
HOPELESS = 60.0  # percent error of the best way beyond which it is none
# A yeast water this good moves the ripe time by a ninth at the very worst (error x 0.6), a fifth of what nobody knows
# of a kitchen that has not baked yet: from here on less waste is worth more than less error.
ENOUGH = 18.0
YEAST_IN_WATER = 30.0  # a gram of yeast thrown away is as bad as so much water; a packet of 7 g is all that many have
TWICE_G = 100.0  # a second glass to stir is as bad as so much water
MOST_WITH_YEAST = 0.5  # of the recipe's water may come with the yeast
LEAST_STOCK_STEPS = 4  # of the scale; half a step is an eighth of that
MOST_ROUNDED = 15.0  # percent; what a scale shows may be off by as much as a level spoon is by its filling
MOST_SPOON_ERROR = 35.0  # percent; a spoon that is further off is not named beside a better way


def dosing(
    yeast_g: float,
    kitchen: Kitchen,
    yeast_kind: YeastKind = "instant",
    water_g: float = math.inf,
    measures: Mapping[str, Measure] | None = None,
    forgiven_percent: float = 0.0,
) -> Dosing:
    """The best way to dose this much yeast with what the kitchen owns; `water_g` is the recipe's water.

    The kitchen scale when it is good to 5 %, else a fine scale good to 10 %, else where this day forgives its error
    (`forgiven_percent`: supper holds as far as that) the kitchen scale or a spoon, whichever is off by less, for those
    are the least work; else whichever is off by least. Without `measures` (see larder.measures) spoons are not offered.
    """
    best = _best(yeast_g, kitchen, yeast_kind, water_g, measures or {}, forgiven_percent)
    is_forgiven = best.kind != "none" and best.error_percent <= forgiven_percent
    return replace(best, is_forgiven=is_forgiven, forgiven_percent=forgiven_percent)


def _best(
    yeast_g: float,
    kitchen: Kitchen,
    yeast_kind: YeastKind,
    water_g: float,
    measures: Mapping[str, Measure],
    forgiven_percent: float,
) -> Dosing:
    ways = list(_ways(yeast_g, kitchen, yeast_kind, water_g, measures))
    for kind, good in (("scale", GOOD_ON_SCALE), ("micro", GOOD_ON_MICRO)):
        for way in ways:
            if way.kind == kind and way.error_percent <= good:
                return way
    most = min(forgiven_percent, MOST_SPOON_ERROR)
    easy = [way for way in ways if _is_easy(way, yeast_g) and way.error_percent <= most]
    if easy:
        way = min(easy, key=lambda one: one.error_percent)
        return replace(way, exact=_exact(ways) if way.kind == "spoon" else None)
    best = min(ways, key=lambda way: way.error_percent)
    return best if best.error_percent <= HOPELESS else Dosing("none", 100.0, yeast_g)


def _is_easy(way: Dosing, yeast_g: float) -> bool:
    """Is it one weighing or one spoonful, and its figure no further from what is due than a spoon's filling makes it?

    What rounding does it does every time and always to the same side: no luck makes up for it.
    """
    return way.kind == "spoon" or (
        way.kind == "scale" and abs(way.yeast_g - yeast_g) <= MOST_ROUNDED / 100.0 * yeast_g + 1e-9
    )


def _exact(ways: Iterable[Dosing]) -> YeastWater | None:
    """The yeast water among these ways; None where there is none."""
    waters = (one for one in ways if one.kind == "yeast-water")
    return next(
        (
            YeastWater(
                one.stock_yeast_g,
                one.stock_water_g,
                one.take_g,
                one.take_water_g,
                one.step_g,
                one.stock_step_g,
                one.part_g,
                one.more_water_g,
            )
            for one in waters
        ),
        None,
    )


def with_spoon(dose: Dosing, yeast_g: float, kitchen: Kitchen, measure: Measure | None) -> Dosing:
    """The dose with the spoon that could be taken instead, and by how much that may be off; as it is without one."""
    enough = dose.kind == "spoon" or (dose.kind == "scale" and dose.is_forgiven)
    if measure is None or not kitchen.has_spoons or enough:
        return dose
    spoon = _by_spoon(yeast_g, measure)
    if spoon.error_percent > MOST_SPOON_ERROR or spoon.teaspoons > TSP_PER_TBSP:  # so much is weighed, not spooned
        return dose
    return replace(dose, teaspoons=spoon.teaspoons, spoon_error_percent=spoon.error_percent, spoon_g=measure.g_per_tsp)


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
    """The yeast water that wastes least of those that are good enough; the one that is off by least where none is."""
    step = kitchen.scale_step_g
    fine = min(step, kitchen.micro_step_g) if kitchen.micro_step_g > 0 else step
    scale = _Scale(yeast_g, step, fine, MOST_WITH_YEAST * water_g)
    yeasts, waters = _stocks(kitchen)
    yeasts = tuple(stock for stock in yeasts if stock >= max(LEAST_STOCK_STEPS * fine, yeast_g) - 1e-9)
    once = [one for stock in yeasts for one in _once(scale, stock, waters)]
    twice = [] if kitchen.mass_unit == "oz" else [one for stock in yeasts for one in _twice(scale, stock)]
    good = [one for one in (*once, *twice) if one.error_percent <= ENOUGH]
    if good:
        yield min(good, key=_waste)
    elif once or twice:
        yield min((*once, *twice), key=lambda one: one.error_percent)


@dataclass(frozen=True)
class _Scale:
    """So much yeast is wanted on scales of these steps, with so much water at most. All grams."""

    yeast_g: float
    step_g: float
    fine_g: float  # of the scale for the stock's yeast
    most_water_g: float

    def taken(self, share: float, off: float) -> tuple[float, float, float] | None:
        """(part to take, yeast in it, error of all) of a water with this share of yeast, known to within `off`."""
        take = to_step(self.yeast_g / share, self.step_g)
        given = take * share
        if take - given > self.most_water_g:
            return None
        return take, given, 100.0 * (off + max(self.step_g / 2.0 / take, abs(given / self.yeast_g - 1.0)))


def _once(scale: _Scale, stock: float, waters: tuple[float, ...]) -> Iterator[Dosing]:
    """Of this stock, each water up to the first that is good enough."""
    step, fine = scale.step_g, scale.fine_g
    for water in waters:
        found = scale.taken(stock / (stock + water), fine / 2.0 / stock + step / 2.0 / water)
        if found is None:
            return
        take, given, error = found
        yield Dosing("yeast-water", error, given, stock, water, take, take - given, step, fine)
        if error <= ENOUGH:
            return


def _twice(scale: _Scale, stock: float) -> Iterator[Dosing]:
    """The stock in nine times as much water, and a part of that in more: for very little yeast."""
    step, fine = scale.step_g, scale.fine_g
    water = to_step(9.0 * stock, step)
    part = to_step(20.0 * step, step)
    for more in (2.0 * part, 4.0 * part, 9.0 * part):
        share = stock / (stock + water) * part / (part + more)
        off = fine / 2.0 / stock + step / 2.0 / water + step / 2.0 / part + step / 2.0 / more
        found = scale.taken(share, off)
        if found is not None:
            take, given, error = found
            yield Dosing(
                "yeast-water",
                error,
                given,
                stock,
                water,
                take,
                take - given,
                step,
                fine,
                part_g=part,
                more_water_g=more,
            )


def _waste(one: Dosing) -> float:
    """What is stirred and thrown away, grams of water."""
    second = TWICE_G + one.more_water_g if one.part_g else 0.0
    return YEAST_IN_WATER * one.stock_yeast_g + one.stock_water_g + second


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
