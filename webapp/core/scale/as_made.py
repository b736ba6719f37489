"""A plan as its dough was made at the bench: with the yeast that was there, for the pan that was taken, after what was
poured. What pages and calendars say of a dough is what went into the bowl.

The phone does the same in static/js/step/weigh_list.js, of the lines alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from webapp.core.plan.plan import Plan
from webapp.core.plan.state import State
from webapp.core.plan.tray import Pan, Topping
from webapp.core.plan.weights import Brine, Dosing, WeighLine
from webapp.core.scale.dosing import MOST_SPOON_ERROR
from webapp.core.scale.measures import level
from webapp.core.scale.mending import YEAST_WATER, mended
from webapp.core.scale.rounding import add_up, is_whole
from webapp.core.scale.weighing import total_g
from webapp.core.scale.yeasts import as_weighed

OTHER_PAN = "other"  # key of the pan that was taken instead: sizes of the kitchen's own are not looked up


def as_made(plan: Plan, state: State, uncalled: str) -> Plan:
    """The plan with what the journal says of its amounts and of what it is baked in; as it is where nothing was.

    `uncalled`: what another pan is called that was said without a name.
    """
    plan = as_weighed(plan, state.yeast)
    floor = _floor(plan)
    area = state.area_cm2 or floor
    step = plan.scale_step_g or 1.0
    lines = rescaled(plan.lines, (state.mixed_cm2 or floor) / floor if floor else 1.0, step)
    if state.poured:
        poured = {one.line: one.grams for one in state.poured}
        grown = mended(lines, poured, step, [one.line for one in state.poured if one.kept]).lines
        lines = tuple(replace(_dosed(one, one.times), times=1.0) for one in grown)
    if lines != plan.lines:
        times = total_g(lines) / total_g(plan.lines)
        dough_g, loading = plan.dough_g * times, plan.loading_g_cm2 * times
        plan = replace(plan, lines=lines, dough_g=dough_g, loading_g_cm2=loading)
    made = plan if area == floor else _in_pan(plan, state.pan or uncalled, area / floor)
    cut_g = cut_off_g(plan)
    return replace(made, loading_g_cm2=made.loading_g_cm2 * (1 - cut_g / plan.dough_g)) if cut_g else made


def cut_off_g(plan: Plan) -> float:
    """Grams of this dough that were cut off for another supper: they are mixed with it and lie on no tray of it.

    The half that was kept of a plan for two suppers is none: its own plan reckons with it from the start.
    """
    return plan.kept.grams if plan.kept and plan.kept.spare and plan.kept.mixed_here else 0.0


def _in_pan(plan: Plan, name: str, times: float) -> Plan:
    """In what was taken, of so many times the floor: one pan of that name, whether one or several were planned."""
    pans = (Pan(OTHER_PAN, name, "rectangle", _floor(plan) * times),)
    on_top = tuple(_on(topping, times) for topping in plan.toppings)
    return replace(plan, pans=pans, loading_g_cm2=plan.loading_g_cm2 / times, toppings=on_top)


def rescaled(lines: Sequence[WeighLine], factor: float, step_g: float) -> tuple[WeighLine, ...]:
    """Every line for `factor` times the floor, rounded to the scale again so that each part still adds up.

    As `rescaled` in static/js/scale/weighing.js, to the hundredth of a gram. How a dose is taken follows in proportion.
    """
    if factor == 1.0:
        return tuple(lines)
    done: dict[str, float] = {}
    ahead_g = 0.0
    for part in dict.fromkeys(line.part for line in lines):
        own = [line for line in lines if line.part == part]
        weights = _part(own, factor, step_g, ahead_g)
        done |= {f"{part}/{line.key}": grams for line, grams in zip(own, weights, strict=True)}
        ahead_g += 0.0 if part == "dough" else math.fsum(weights)
    return tuple(_line(line, factor, done[f"{line.part}/{line.key}"]) for line in lines)


def _part(lines: Sequence[WeighLine], factor: float, step_g: float, ahead_g: float) -> list[float]:
    whole = [is_whole(one.weigh_g, step_g) and one.kind != "preferment" and not _is_fine(one) for one in lines]
    dosed = _dose_factor([one for one in lines if _is_fine(one)], factor)

    def own(line: WeighLine) -> float:
        if line.kind == "preferment":
            return ahead_g
        return math.floor(line.weigh_g * (dosed if _is_fine(line) else factor) * 100 + 0.5) / 100

    given = [one for one, is_open in zip(lines, whole, strict=True) if not is_open and one.kind != "yeast"]
    off = math.fsum(own(one) - one.grams * factor for one in given)
    exact = [one.grams * factor for one, is_open in zip(lines, whole, strict=True) if is_open]
    weights = iter(add_up(exact, math.fsum(exact) - min(step_g / 2, max(-step_g / 2, off)), step_g))
    return [next(weights) if is_open else own(one) for one, is_open in zip(lines, whole, strict=True)]


def _dose_factor(lines: Sequence[WeighLine], factor: float) -> float:
    """How many times as much of a dose, or of all of a yeast water: what its scale can show of what would be exact."""
    step_g, exact = next(((one.dosing.step_g, factor * one.grams / one.weigh_g) for one in lines if one.dosing),
                         (0.0, factor))  # fmt: skip
    all_g = math.fsum(one.weigh_g for one in lines)
    return max(1, math.floor(all_g * exact / step_g + 0.5)) * step_g / all_g if step_g > 0 else exact


def _is_fine(line: WeighLine) -> bool:
    """Yeast is dosed, not rounded to the kitchen scale."""
    return line.kind == "yeast" or line.key == YEAST_WATER


def _line(line: WeighLine, factor: float, weigh_g: float) -> WeighLine:
    return _dosed(replace(line, grams=line.grams * factor, weigh_g=weigh_g), factor)


def _dosed(line: WeighLine, factor: float) -> WeighLine:
    """The line, that weighs so much already, with its dose, its spoons, its brine and its ice for `factor` times."""
    if factor == 1.0:
        return line
    times = line.weigh_g / line.dosing.yeast_g if line.dosing else factor  # of what was dosed, not of what was due
    error = _error_percent(line, line.dosing, factor, times) if line.dosing else 0.0
    dose = line.dosing and replace(
        line.dosing,
        error_percent=error,
        is_forgiven=line.dosing.kind != "none" and error <= line.dosing.forgiven_percent,
        yeast_g=line.weigh_g,
        take_g=line.dosing.take_g * times,
        take_water_g=line.dosing.take_water_g * times,
        teaspoons=line.dosing.teaspoons * times,
        exact=None,
    )
    if dose and line.dosing and dose.spoon_error_percent:
        dose = _beside_a_spoon(dose, line.grams, line.grams / factor, line.dosing)
    brine = line.brine and Brine(
        line.brine.salt_g * factor,
        line.brine.water_g * factor,
        line.brine.take_g * factor,
        line.brine.take_water_g * factor,
    )
    return replace(line, dosing=dose, brine=brine, teaspoons=line.teaspoons * factor, ice_g=line.ice_g * factor)


def _error_percent(line: WeighLine, planned: Dosing, factor: float, times: float) -> float:
    """By how much the dose may be off by now, as `errorOf` in static/js/step/dose.js: the scale's half step on another
    weight, and what rounding to that step or to level spoons adds, in place of what they were as planned."""
    half = planned.step_g / 2.0
    take_g = planned.take_g or planned.yeast_g
    spooned, before = (_as_spooned(planned.teaspoons * one) if planned.kind == "spoon" else 1.0 for one in (times, 1.0))
    was = max(half / take_g, abs(before * planned.yeast_g * factor / line.grams - 1.0))
    now = max(half / (take_g * times), abs(spooned * line.weigh_g / line.grams - 1.0))
    return planned.error_percent + 100.0 * (now - was)


def _beside_a_spoon(dose: Dosing, due_g: float, planned_g: float, planned: Dosing) -> Dosing:
    """The spoon that could be taken instead: as full as before, but its parts are other ones; none is named where
    they are too far off, and where a plan of before does not tell what it holds."""
    if not planned.spoon_g:
        return replace(dose, teaspoons=0.0, spoon_error_percent=0.0)
    filled = planned.spoon_error_percent - 100.0 * abs(planned.teaspoons * planned.spoon_g / planned_g - 1.0)
    teaspoons = due_g / planned.spoon_g
    taken = teaspoons * _as_spooned(teaspoons)
    error = filled + 100.0 * abs(taken * planned.spoon_g / due_g - 1.0)
    if error > MOST_SPOON_ERROR:
        return replace(dose, teaspoons=0.0, spoon_error_percent=0.0)
    return replace(dose, teaspoons=taken, spoon_error_percent=error)


def _as_spooned(teaspoons: float) -> float:
    """How many times as much the nearest is that a set of spoons measures."""
    return float(level(teaspoons)) / teaspoons


def _on(topping: Topping, times: float) -> Topping:
    return replace(
        topping,
        grams=topping.grams * times,
        salt_g=topping.salt_g * times,
        undrained_g=topping.undrained_g * times,
    )


def _floor(plan: Plan) -> float:
    return sum(pan.area_cm2 * pan.count for pan in plan.pans)
