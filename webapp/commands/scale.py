"""`suppertide scale`: a formula scaled to a mass of dough or to pans."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from webapp.commands.frame import Options, Spoken, says, scales, tidy
from webapp.core.formula.check import hydration_percent
from webapp.core.formula.formula import flour_g, formula_from_dict, with_yeast
from webapp.core.formula.ingredients import Formula, Ingredient, from_instant
from webapp.core.kinds import PAN_MEASURES, PAN_SHAPES, YEAST_KINDS, IngredientKind, PanMeasure, PanShape
from webapp.core.plan.tray import Pan
from webapp.core.scale import pans, weighing
from webapp.data import doughs
from webapp.words.plan.weights import named, note, scales_here
from webapp.words.problems.told import refused

_number = click.FLOAT
_LIKE: Mapping[PanMeasure, str] = {"length": "38", "width": "28", "water_g": "1064"}


def _like(shape: PanShape) -> str:
    """How a pan of that shape is written: "rectangle:38x28"."""
    return f"{shape}:{'x'.join(_LIKE[one] for one in pans.SHAPES[shape].measures)}"


_PANS = " or ".join((", ".join(map(_like, PAN_SHAPES[:-1])), _like(PAN_SHAPES[-1])))


@click.command("scale", cls=Spoken)
@click.option("--formula", "key", help="A shipped formula by its key, for one bench-tray.")
@click.option(
    "--file",
    "path",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A formula of your own, TOML, laid out like webapp/data/tables/formulas.toml.",
)
@click.option("--water", type=_number, default=70.0, show_default=True, help="Percent, with neither of the two above.")
@click.option("--salt", type=_number, default=2.2, show_default=True, help="Percent.")
@click.option("--sugar", type=_number, default=0.0, show_default=True, help="Percent.")
@click.option("--oil", type=_number, default=0.0, show_default=True, help="Percent.")
@click.option("--yeast", type=click.Choice(YEAST_KINDS), help="Kind; the formula's when not given.")
@click.option("--yeast-percent", type=_number, help="Of that kind, percent of flour; the formula's when not given.")
@click.option("--dough", type=_number, help="All dough, g; else from the pans.")
@click.option(
    "--pan",
    "pan_texts",
    multiple=True,
    metavar="SHAPE:SIZE",
    help=f"{_PANS}: cm, or grams of water that stand 1 cm deep in it; repeat.",
)
@click.option("--loading", type=_number, help="g/cm2; the style's when not given.")
@click.option("--loss", type=_number, default=0.0, show_default=True, help="Percent left in bowl and on hands.")
@click.option("--scale-step", type=_number, default=1.0, show_default=True, help="Kitchen scale, g.")
@click.option("--micro-step", type=_number, default=0.0, show_default=True, help="Fine scale, g; 0 = none.")
@click.option(
    "--poured",
    "poured_texts",
    multiple=True,
    metavar="LINE:GRAMS",
    help="In the bowl already, like water:360 or poolish/flour:160; the rest rises with an over-pour.",
)
@says
def scale_command(**options: Any) -> Options:
    """A formula scaled to a mass of dough or to pans, rounded to the scale so that it still adds up."""
    formula = _formula(options)
    pan_rows = [_pan(text) for text in options["pan_texts"]]
    if (options["dough"] is None) == (not pan_rows):
        raise refused("dough", "Give either the dough's mass or pans.", "Use --dough 840 or --pan round:28.")
    loading = options["loading"] if options["loading"] is not None else formula.loading
    mass = options["dough"] if not pan_rows else pans.dough_g(pan_rows, loading, options["loss"])
    kitchen = scales(options)
    lines = weighing.weigh_out(formula, mass, kitchen, measures=doughs.measures())
    poured = dict(_poured(text) for text in options["poured_texts"])
    mended = weighing.mended(lines, poured, kitchen.scale_step_g)
    lines = named(mended.lines, formula.yeast_kind)
    said_in = scales_here(kitchen, formula.yeast_kind)
    return {
        "dough_g": tidy(mass, 2), "weighed_g": tidy(weighing.total_g(lines), 2),
        **({"mended_factor": tidy(mended.factor), "added_g": tidy(mended.added_g, 1)} if poured else {}),
        "flour_g": tidy(flour_g(formula, mass), 2), "hydration_percent": tidy(hydration_percent(formula), 2),
        **({"area_cm2": tidy(pans.area_cm2(pan_rows), 1), "loading_g_cm2": loading} if pan_rows else {}),
        "lines": [
            {"part": line.part, "key": line.key, "name": line.name, "kind": line.kind,
             "percent": tidy(line.percent), "exact_g": tidy(line.grams), "weigh_g": tidy(line.weigh_g),
             "note": note(line, said_in)}
            for line in lines
        ],
    }  # fmt: skip


def _poured(text: str) -> tuple[str, float]:
    line, _, grams = text.rpartition(":")
    try:
        return (line if "/" in line else f"dough/{line}"), float(grams)
    except ValueError:
        raise refused("poured", f"“{text}” is no over-pour.", "Write LINE:GRAMS, like water:360.") from None


def _formula(options: Options) -> Formula:
    if options["key"] is not None:
        base = doughs.formula(options["key"])
    elif options["path"] is not None:
        base = _formula_of_file(options["path"])
    else:
        base = _plain_formula(options)
    kind = options["yeast"] or base.yeast_kind
    own = from_instant(kind, base.instant_percent)
    percent = options["yeast_percent"] if options["yeast_percent"] is not None else own
    return with_yeast(base, kind, percent)


def _formula_of_file(path: Path) -> Formula:
    try:
        plain = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise refused("file", f"This is not TOML: {error}.", "See webapp/data/tables/formulas.toml.") from None
    rows = plain.get("formula")
    return formula_from_dict(rows[0] if isinstance(rows, list) and rows else plain)


def _plain_formula(options: Options) -> Formula:
    rows: Sequence[tuple[str, str, IngredientKind, float]] = (
        ("flour", "Flour", "flour", 100.0), ("water", "Water", "water", options["water"]),
        ("salt", "Salt", "salt", options["salt"]), ("sugar", "Sugar", "sugar", options["sugar"]),
        ("oil", "Oil", "fat", options["oil"]),
    )  # fmt: skip
    given = tuple(Ingredient(key, name, kind, percent) for key, name, kind, percent in rows if percent != 0)
    return Formula("own", "Own", "tray", given)


def _pan(text: str) -> Pan:
    typed, _, size = text.partition(":")
    shape = next((one for one in PAN_SHAPES if one == typed), None)
    try:
        numbers = [float(part) for part in size.split("x")]
    except ValueError:
        numbers = []
    if shape is None or len(numbers) != len(pans.SHAPES[shape].measures) or not all(map(math.isfinite, numbers)):
        raise refused("pan", f"“{text}” is not a pan.", f"Write {_PANS}.")
    sizes = dict(zip(pans.SHAPES[shape].measures, numbers, strict=True))
    length, width, water_g = (sizes.get(one, 0.0) for one in PAN_MEASURES)
    return pans.pan("own", text, shape, length, width, water_g=water_g)
