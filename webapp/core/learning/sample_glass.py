"""The test glass: a spoonful of dough that tells how quick yeast is in this kitchen, before the first bake.

50 g of flour get a part of a larger liquid (300 g of water with salt and yeast stirred in): so that salt and yeast are
amounts that a kitchen scale can weigh. The yeast is chosen for `RISES_IN_H` until doubled at the room's temperature,
then rounded to the scale; what is reckoned with afterwards is what was really weighed. In a narrow glass so little
dough is as warm as the room from the start (its lag is under half an hour), when the water is as warm too.

Amounts and times are common practice; the pace is the model's (core/rise/pace.py, response.py).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.formula.ingredients import from_instant, instant_equivalent
from webapp.core.kinds import YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.learning import observed
from webapp.core.learning.lessons import Lesson
from webapp.core.plan.rise import RoomSpan
from webapp.core.plan.state import Glass
from webapp.core.rise.certainty import Z80
from webapp.core.rise.pace import KS, DoughMake, N, increase_for, need, pace_per_s
from webapp.core.rise.response import response
from webapp.core.scale.dosing import to_step

FLOUR_G, STOCK_WATER_G = 50.0, 300.0
WATER_PERCENT, SALT_PERCENT = 65.0, 2.0
RISES_IN_H = 3.0  # until doubled, for the middle of all kitchens: an evening
LEAST_STEP_G = 0.5  # nobody weighs salt and yeast for 300 g of water finer
MOST_YEAST_G = 15.0
COLDEST_C, WARMEST_C = 10.0, 35.0
FIRST_LOOK, SECOND_LOOK = 1.6, 2.3  # times its first volume, of the most likely dough
LAST_LOOK = 3.0  # beyond, a small dough falls in
LONGEST_GLASS_S = 24 * 3600
MOST_READINGS = 24


@dataclass(frozen=True)
class GlassRecipe:
    """What is weighed, grams: the stock (water, salt, yeast), and the part of it that goes to the flour."""

    yeast_kind: YeastKind
    stock_water_g: float
    stock_salt_g: float
    stock_yeast_g: float
    take_g: float
    flour_g: float
    step_g: float  # of the kitchen scale
    fine_g: float  # of the scale that weighs salt and yeast

    @property
    def make(self) -> DoughMake:
        """The dough in the glass, percent of its flour."""
        stock = self.stock_water_g + self.stock_salt_g + self.stock_yeast_g
        per_flour = 100.0 * self.take_g / stock / self.flour_g
        yeast = instant_equivalent(self.yeast_kind, per_flour * self.stock_yeast_g)
        return DoughMake(yeast, per_flour * self.stock_salt_g, 0.0, 0.0, per_flour * self.stock_water_g)

    @property
    def made_sd(self) -> float:
        """Sd of ln(rate) from weighing: each figure is right to half a step of its scale, evenly spread."""
        fine, coarse = (step / 2.0 / math.sqrt(3.0) for step in (self.fine_g, self.step_g))
        part = math.hypot(coarse / self.take_g, coarse / self.flour_g, coarse / self.stock_water_g)
        yeast = N * math.hypot(fine / self.stock_yeast_g, part)
        salt = KS * self.make.salt_percent * math.hypot(fine / self.stock_salt_g, part)
        return math.hypot(yeast, salt)


@dataclass(frozen=True)
class SampleGlass:
    """One test glass: what is in it, when its line was drawn, how warm the room was, how high it stood."""

    recipe: GlassRecipe
    started_at: int
    room: tuple[RoomSpan, ...]  # ascending; the first covers everything before it
    readings: tuple[Glass, ...] = ()  # ascending


@dataclass(frozen=True)
class Expected:
    """What the glass should show at an instant: times its first volume, most likely and at the edges of the band."""

    at: int
    times: float
    low: float
    high: float


def recipe_for(kitchen: Kitchen, room_c: float) -> GlassRecipe:
    """Grams for this kitchen's scales and room. PlanError at "room" outside of 10 to 35 C."""
    if not COLDEST_C <= room_c <= WARMEST_C:
        raise PlanError.at("room", "glass-room", least_c=COLDEST_C, most_c=WARMEST_C)
    step = kitchen.scale_step_g
    fine = min(step, kitchen.micro_step_g) if kitchen.micro_step_g > 0 else step
    water, flour = to_step(STOCK_WATER_G, step), to_step(FLOUR_G, step)
    salt = _weighable(water * SALT_PERCENT / WATER_PERCENT, fine)
    per_s = 1.0 / (RISES_IN_H * 3600.0 * response(room_c))
    pace_at_half = pace_per_s(DoughMake(0.5, SALT_PERCENT, hydration_percent=WATER_PERCENT))
    instant = 0.5 * math.pow(per_s / pace_at_half, 1.0 / N)
    wanted = water * from_instant(kitchen.yeast_kind, instant) / WATER_PERCENT
    yeast = _weighable(min(MOST_YEAST_G, wanted), fine)
    take = to_step(flour * WATER_PERCENT / 100.0 * (water + salt + yeast) / water, step)
    return GlassRecipe(kitchen.yeast_kind, water, salt, yeast, take, flour, step, fine)


def _weighable(grams: float, fine_g: float) -> float:
    """Rounded to what is comfortable to weigh on this scale."""
    return to_step(grams, fine_g * max(1, math.floor(LEAST_STEP_G / fine_g + 0.5)))


def unit_progress(glass: SampleGlass, at: int) -> float:
    """What the model at vigour 1 has by then; between two readings of the room it was as warm as their mean."""
    done = 0.0
    for i, span in enumerate(glass.room):
        begin = glass.started_at if i == 0 else max(glass.started_at, span.start)
        later = glass.room[i + 1] if i + 1 < len(glass.room) else None
        end = at if later is None else min(at, later.start)
        temp_c = span.temp_c if later is None else (span.temp_c + later.temp_c) / 2.0
        done += response(temp_c) * max(0, end - begin)
    return done * pace_per_s(glass.recipe.make)


def expected_at(glass: SampleGlass, at: int, mean: float, sd: float) -> Expected:
    """What it should show then in a kitchen of this ln(rate): most likely, and where four of five are."""
    unit = unit_progress(glass, at)
    low, middle, high = (1.0 + increase_for(unit * math.exp(mean + z * sd)) for z in (-Z80, 0.0, Z80))
    return Expected(at, middle, low, high)


def when(glass: SampleGlass, times: float, quicker: float = 1.0) -> int:
    """The instant at which a dough so much quicker than the model stands at `times`, in the room as read last."""
    wanted = need(times - 1.0) / quicker
    last = glass.room[-1]
    since = max(glass.started_at, last.start)
    missing = wanted - unit_progress(glass, since)
    return since + round(missing / (response(last.temp_c) * pace_per_s(glass.recipe.make)))


def read(glass: SampleGlass, at: int, times: float, room_c: float | None = None) -> SampleGlass:
    """The glass with one more reading, and the room's temperature when that was read too.

    PlanError at "at" for an instant before its line was drawn or more than a day later, at "now" for a height that says
    nothing or one reading too many.
    """
    if not glass.started_at < at <= glass.started_at + LONGEST_GLASS_S:
        raise PlanError.at("at", "glass-day")
    observed.glass(at, times, max(unit_progress(glass, at), 1e-6))  # PlanError when it says nothing
    if len(glass.readings) >= MOST_READINGS:
        raise PlanError.at("now", "glass-often")
    rooms = glass.room if room_c is None else _with_room(glass.room, RoomSpan(at, room_c))
    readings = (*(one for one in glass.readings if one.at != at), Glass(at, times))
    return SampleGlass(glass.recipe, glass.started_at, rooms, tuple(sorted(readings, key=lambda one: one.at)))


def _with_room(rooms: Sequence[RoomSpan], more: RoomSpan) -> tuple[RoomSpan, ...]:
    return tuple(sorted((*(one for one in rooms if one.start != more.start), more), key=lambda one: one.start))


def lessons_of(key: str, glass: SampleGlass) -> tuple[Lesson, ...]:
    """What this glass teaches: as one bake, its readings together. `key` names it among the bakes."""
    found = []
    for one in glass.readings:
        seen = observed.glass(one.at, one.times, unit_progress(glass, one.at), key, glass.recipe.made_sd)
        found.append(Lesson(key, one.at, "test-glass", one.times, seen))
    return tuple(found)


def checked(glass: SampleGlass) -> SampleGlass:
    """The glass itself; PlanError at "glass" when no page of ours could have made it."""
    recipe = glass.recipe
    weights = (recipe.stock_water_g, recipe.stock_salt_g, recipe.stock_yeast_g, recipe.take_g, recipe.flour_g,
               recipe.step_g, recipe.fine_g)  # fmt: skip
    spans = [(one.start, one.temp_c) for one in glass.room]
    right = all(0 < grams <= 2000 for grams in weights) and 0 < len(spans) <= MOST_READINGS + 1
    right = right and all(-60 < temp_c < 80 for _, temp_c in spans) and spans == sorted(spans)
    last = glass.started_at + LONGEST_GLASS_S
    right = (
        right
        and len(glass.readings) <= MOST_READINGS
        and [*glass.readings] == sorted(glass.readings, key=lambda one: one.at)
    )
    for one in glass.readings if right else ():
        right = right and glass.started_at < one.at <= last and unit_progress(glass, one.at) > 0
        right = right and observed.RISEN_FROM <= one.times <= observed.MOST_TIMES
    if not right:
        raise PlanError.at("glass", "glass-not-ours")
    return glass
