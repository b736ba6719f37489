"""The weigh-out list: grams of every line, rounded to this kitchen's scales so that the dough still adds up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from webapp.core.errors import PlanError
from webapp.core.formula.check import checked
from webapp.core.formula.formula import flour_g
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.preferment import Part, parts
from webapp.core.kinds import YeastKind
from webapp.core.kitchen import Kitchen
from webapp.core.plan.weights import Dosing, WeighLine
from webapp.core.scale.brine import with_brine
from webapp.core.scale.dosing import dosing, to_step, with_spoon
from webapp.core.scale.measures import Measure, in_spoons
from webapp.core.scale.mending import YEAST_WATER, Mended, line_id, mended
from webapp.core.scale.rounding import add_up

__all__ = [
    "YEAST_WATER",
    "Dosing",
    "Mended",
    "as_poured",
    "dosing",
    "line_id",
    "mended",
    "total_g",
    "weigh_out",
]

# What a scale that shows hundredths carries. They are sold for 50 g to 500 g; nobody has a figure of kitchens,
# so it is the least of them (common practice): what is too heavy for it goes on the other scale.
MICRO_HOLDS_G = 50.0
FINE_SHARE = 0.1  # salt and oil need no finer than this part of the kitchen scale's step
SPOONS_TO_G = 60.0  # nobody counts more spoons than that
FINE_ENOUGH = 0.02  # half a step within 2 % of the weight needs no finer scale


def total_g(lines: Sequence[WeighLine]) -> float:
    """The dough that the weigh-out list makes, g, as weighed; a preferment counts once."""
    return math.fsum(line.weigh_g for line in lines if line.part == "dough")


def as_poured(lines: Sequence[WeighLine], called: str) -> tuple[WeighLine, ...]:
    """The lines as they are weighed by hand: yeast and the water it comes in are one thing, a yeast water (`called`).

    For showing only: sums, allergens and shopping count the two lines. The yeast's key
    stays, so that a tick does too.
    """
    water = {line.part: line for line in lines if line.key == YEAST_WATER}
    return tuple(
        _yeast_water(line, water[line.part], called) if line.kind == "yeast" and line.part in water else line
        for line in lines
        if line.key != YEAST_WATER
    )


def _yeast_water(yeast: WeighLine, water: WeighLine, called: str) -> WeighLine:
    return replace(yeast, name=called, percent=yeast.percent + water.percent,
                   grams=yeast.grams + water.grams, weigh_g=yeast.weigh_g + water.weigh_g)  # fmt: skip


def weigh_out(
    formula: Formula,
    dough_g: float,
    kitchen: Kitchen,
    water_c: float | None = None,
    measures: Mapping[str, Measure] | None = None,
    forgiven_percent: float = 0.0,
) -> tuple[WeighLine, ...]:
    """The weigh-out list in pouring order, the preferment's lines first.

    `weigh_g` is what this kitchen's scales can show: the lines of a part together within half a step of their weight,
    each within half a step, except that odd steps go to the heaviest lines; salt and yeast never nothing. `water_c`
    and spoons (from larder.measures) go into the notes. `forgiven_percent`: how far off the dough's yeast may be with
    supper as planned (of a dough with a preferment that is not known). PlanError for a formula that cannot work, or no
    dough.
    """
    checked(formula)
    if not 20.0 <= dough_g <= 50_000.0:
        raise PlanError.at("dough_g", "dough-mass", grams=dough_g)
    if not 0 < kitchen.scale_step_g <= 50 or not 0 <= kitchen.micro_step_g < math.inf:
        raise PlanError.at("scale_step", "no-scale-step")
    per_percent = flour_g(formula, dough_g) / 100.0
    lines: list[WeighLine] = []
    forgiven = forgiven_percent if formula.preferment is None else 0.0
    for part in parts(formula):
        lines += _part_lines(part, per_percent, lines, kitchen, formula.yeast_kind, measures or {}, forgiven)
    return tuple(_with_heat(line, water_c) for line in lines)


def _part_lines(
    part: Part,
    per_percent: float,
    ahead: Sequence[WeighLine],
    kitchen: Kitchen,
    yeast_kind: YeastKind,
    measures: Mapping[str, Measure],
    forgiven_percent: float,
) -> list[WeighLine]:
    grams = {line.key: line.percent * per_percent for line in part.lines}
    lines = [
        WeighLine(
            line.key, line.name, line.kind, part.key, line.percent, grams[line.key], 0.0, allergens=line.allergens
        )
        for line in part.lines
    ]
    dose = _dose(lines, kitchen, yeast_kind, measures, forgiven_percent)
    lines = [row for line in lines for row in _dosed(line, dose, per_percent)]
    return rounded(lines, math.fsum(line.weigh_g for line in ahead), kitchen, measures)


def _dose(
    lines: Sequence[WeighLine],
    kitchen: Kitchen,
    yeast_kind: YeastKind,
    measures: Mapping[str, Measure],
    forgiven_percent: float,
) -> Dosing | None:
    yeast = next((line for line in lines if line.kind == "yeast"), None)
    if yeast is None:
        return None
    water_g = next((line.grams for line in lines if line.kind == "water"), 0.0)
    dose = dosing(yeast.grams, kitchen, yeast_kind, water_g, measures, forgiven_percent)
    return with_spoon(dose, yeast.grams, kitchen, measures.get(f"yeast-{yeast_kind}"))


def _dosed(line: WeighLine, dose: Dosing | None, per_percent: float) -> list[WeighLine]:
    """The line with its dosing said; a yeast water takes its part of the recipe's water out of the water line."""
    if dose is None or line.kind not in ("yeast", "water"):
        return [line]
    if line.kind == "yeast":
        rows = [replace(line, weigh_g=dose.yeast_g, weighed_by="dosed", dosing=dose)]
        if dose.take_g > 0:
            percent = dose.take_water_g / per_percent
            rows.append(
                WeighLine(
                    YEAST_WATER,
                    "",
                    "water",
                    line.part,
                    percent,
                    dose.take_water_g,
                    dose.take_water_g,
                    weighed_by="poured",
                )
            )
        return rows
    grams = line.grams - dose.take_water_g
    return [replace(line, grams=grams, percent=grams / per_percent)]


def rounded(
    lines: Sequence[WeighLine], preferment_g: float, kitchen: Kitchen, measures: Mapping[str, Measure]
) -> list[WeighLine]:
    """One part's lines with `weigh_g` as its scales show it. Yeast and yeast water come dosed already."""
    fixed = [_fixed(line, preferment_g, kitchen) for line in lines]
    open_ = [i for i, line in enumerate(fixed) if line is None]
    # What a preferment or a line on the fine scale is off by, the others make up for: by half a step at most, or
    # one of them would be off by more than a step. The yeast's own error is its own.
    off = math.fsum(f.weigh_g - f.grams for f in fixed if f is not None and f.kind != "yeast")
    half = kitchen.scale_step_g / 2.0
    exact = [lines[i].grams for i in open_]
    weights = iter(add_up(exact, math.fsum(exact) - min(half, max(-half, off)), kitchen.scale_step_g))
    rows = [f if f is not None else replace(line, weigh_g=next(weights)) for line, f in zip(lines, fixed, strict=True)]
    water_g = math.fsum(line.grams for line in lines if line.kind == "water" and line.key != YEAST_WATER)
    return [with_brine(_with_spoons(row, kitchen, measures), kitchen.scale_step_g, water_g) for row in rows]


def _fixed(line: WeighLine, preferment_g: float, kitchen: Kitchen) -> WeighLine | None:
    """The line as weighed where no kitchen scale decides it; None for a line of the kitchen scale."""
    if line.kind == "yeast" or line.key == YEAST_WATER:
        return line
    if line.kind == "preferment":
        return replace(line, weigh_g=preferment_g, weighed_by="whole")
    step, micro = kitchen.scale_step_g, kitchen.micro_step_g
    is_finer = 0 < micro <= step / 4.0 and line.grams <= MICRO_HOLDS_G
    if is_finer and step / 2.0 > FINE_ENOUGH * line.grams:
        fine_g = to_step(line.grams, max(micro, FINE_SHARE * step))
        return replace(line, weigh_g=fine_g, weighed_by="fine")
    if line.grams < step:
        return replace(line, weigh_g=to_step(line.grams, FINE_SHARE * step), weighed_by="too-little")
    return None


def _with_spoons(line: WeighLine, kitchen: Kitchen, measures: Mapping[str, Measure]) -> WeighLine:
    measure = measures.get(line.key) or (measures.get(line.kind) if line.kind in ("salt", "sugar") else None)
    if measure is None or not kitchen.has_spoons or line.grams > SPOONS_TO_G:
        return line
    return replace(line, teaspoons=float(in_spoons(line.grams, measure).teaspoons))


def _with_heat(line: WeighLine, water_c: float | None) -> WeighLine:
    """The line with the temperature of the dough's water."""
    if line.kind != "water" or line.key == YEAST_WATER or water_c is None or line.part != "dough":
        return line
    return replace(line, at_c=water_c)
