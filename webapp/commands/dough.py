"""The dough maths on the command line: `suppertide scale`, `rise`, `yeast`, `water`.

Each prints a few plain lines, or with --json one object whose key names carry the units (`_g`, `_c`, `_h`, `_cm2`,
`_percent`). What cannot be answered is null, and says why in `outside_range`. Bad input ends with status 2 and names
the option, what is wrong and the way out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import click

from webapp.commands.frame import (
    Options,
    Spoken,
    above_zero,
    says,
    scales,
    tidy,
    together,
)
from webapp.commands.scale import scale_command
from webapp.core.formula.ingredients import from_instant, instant_equivalent
from webapp.core.kinds import VESSELS, YEAST_KINDS, HeatedPlace
from webapp.core.plan.rise import Beyond
from webapp.core.rise import dough_heat, fermentation
from webapp.core.rise.certainty import Z80, band_sd, mean_temp, outside_range
from webapp.core.rise.pace import DoughMake
from webapp.core.rise.response import Leg, along
from webapp.core.scale import weighing
from webapp.core.units import h_from_s, s_from_h
from webapp.data import doughs
from webapp.words.plan.rise import beyond_words
from webapp.words.plan.weights import dose_words, scales_here
from webapp.words.problems.told import refused

_number = click.FLOAT
_make_options = together(
    click.option("--yeast", type=click.Choice(YEAST_KINDS), default="instant", show_default=True, help="Kind."),
    click.option("--salt", type=_number, default=2.0, show_default=True, help="Percent of flour."),
    click.option("--sugar", type=_number, default=0.0, show_default=True, help="Percent of flour."),
    click.option("--oil", type=_number, default=0.0, show_default=True, help="Percent of flour."),
    click.option("--hydration", type=_number, default=65.0, show_default=True, help="Water, percent of flour."),
    click.option("--vigour", type=_number, default=1.0, show_default=True, help="This kitchen's rate."),
)
_path_options = together(
    click.option("--dough-temp", type=_number, required=True, help="Dough at the end of mixing, C."),
    click.option("--stage", "stages", multiple=True, required=True, metavar="TEMP:HOURS",
                 help="Where the dough is next, C and hours, or TEMP:ready for the open one; repeat in order."),
    click.option("--tau", type=_number, help="Thermal time constant, h; else from --mass and --vessel."),
    click.option("--mass", type=_number, help="Dough, g."),
    click.option("--vessel", type=click.Choice(VESSELS), default="bowl", show_default=True),
    click.option("--increase", type=_number, required=True, help="Volume increase wanted: 1 = doubled."),
)  # fmt: skip


def _make(options: Options, instant_percent: float) -> DoughMake:
    numbers = {name: options[name] for name in ("salt", "sugar", "oil", "hydration", "vigour")}
    for name, value in numbers.items():
        if not math.isfinite(value) or value < 0 or (name == "vigour" and value == 0):
            raise refused(name, f"{value} is not an amount.", "Give a number, 0 or more.")
    return DoughMake(
        instant_percent, options["salt"], options["sugar"], options["oil"], options["hydration"], options["vigour"]
    )


def _legs(options: Options, hint: str) -> tuple[Leg, ...]:
    above_zero("increase", options["increase"])
    if not -60 <= options["dough_temp"] <= 80:
        raise refused(
            "dough_temp", f"{options['dough_temp']} °C is outside the range of a dough.", "Give C; 20 to 28 is usual."
        )
    return tuple(_leg(text, options, hint) for text in options["stages"])


def _leg(text: str, options: Options, hint: str) -> Leg:
    temp, colon, length = text.partition(":")
    try:
        ambient_c = float(temp)
        seconds = None if length.strip().lower() == "ready" else s_from_h(float(length))
    except ValueError:
        raise refused("stage", f"“{text}” is not a stage.", hint) from None
    if not colon or not -60 <= ambient_c <= 80 or not (seconds is None or 0 <= seconds < math.inf):
        raise refused("stage", f"“{text}” is not a stage.", hint)
    return Leg(ambient_c, seconds, _tau_s(options, ambient_c))


FRIDGE_BELOW_C = 10.0


def _tau_s(options: Options, ambient_c: float) -> float:
    if options["tau"] is not None:
        if not 0 < options["tau"] < math.inf:
            raise refused("tau", f"{options['tau']} h is no time constant.", "Give hours above 0; 2 is usual.")
        return s_from_h(options["tau"])
    if options["mass"] is None:
        raise refused("tau", "How quickly the dough warms is not known.", "Give --tau, or --mass and --vessel.")
    place: HeatedPlace = "fridge" if ambient_c < FRIDGE_BELOW_C else "bench"
    return dough_heat.time_constant_s(options["mass"], options["vessel"], place)


_OPEN = "Write TEMP:HOURS like 22:2, or TEMP:ready."


@click.command("rise", cls=Spoken)
@_make_options
@click.option("--yeast-percent", type=_number, required=True, help="Of that kind, percent of flour.")
@_path_options
@click.option("--past-increase", type=_number, default=3.0, show_default=True, help="Rise that is past its best.")
@click.option("--wanted-hours", type=_number, help="Also: how warm a single open stage must be to take this long, h.")
@says
def rise_command(**options: Any) -> Options:
    """How long until the dough has risen: the open stage's length in hours, with its 80 % band."""
    make = _make(options, instant_equivalent(options["yeast"], above_zero("yeast_percent", options["yeast_percent"])))
    above_zero("past_increase", options["past_increase"])
    legs = _legs(options, _OPEN)
    found = fermentation.rise(make, options["dough_temp"], legs, options["increase"], options["past_increase"])
    hours = {
        "ready_h": found.ready_s, "early_h": found.early_s, "late_h": found.late_s, "usable_h": found.usable_s,
        "past_h": found.past_s, "room_h": found.room_s,
    }  # fmt: skip
    outside = list(found.outside_range)
    if math.isinf(found.ready_s):
        outside.append(Beyond("too-far"))
    if found.ready_s == 0:
        outside.append(Beyond("no-wait"))
    return {
        **{key: tidy(h_from_s(seconds)) for key, seconds in hours.items()},
        "instant_percent": tidy(make.instant_percent, 6), "tau_h": [tidy(h_from_s(leg.tau_s)) for leg in legs],
        "band_sd_ln": tidy(found.band_sd), **_warmth(make, legs, options), "outside_range": _said(outside),
    }  # fmt: skip


def _warmth(make: DoughMake, legs: tuple[Leg, ...], options: Options) -> Options:
    """How warm the surroundings must be for both the yeast and the time."""
    if options["wanted_hours"] is None:
        return {}
    if len(legs) > 1:
        raise refused("wanted_hours", "The warmth is found for a single stage.", "Give one --stage TEMP:ready.")
    seconds = s_from_h(above_zero("wanted_hours", options["wanted_hours"]))
    found = fermentation.temp_for(make, options["dough_temp"], seconds, legs[0].tau_s, options["increase"])
    return {"stage_for_wanted_c": None if found is None else tidy(found, 2)}


MOST_TYPED_PERCENT = 10.0  # beyond any dough; 2 to 10 % is answered, and said to be outside the range


@click.command("yeast", cls=Spoken)
@_make_options
@_path_options
@click.option("--flour", type=_number, help="All flour, g; then the yeast is given in grams too.")
@click.option("--scale-step", type=_number, default=1.0, show_default=True, help="Kitchen scale, g.")
@click.option("--micro-step", type=_number, default=0.0, show_default=True, help="Fine scale, g; 0 = none.")
@says
def yeast_command(**options: Any) -> Options:
    """How much yeast for these stages, all of a given length, and how far the dough may be at their end."""
    legs = _legs(options, "Write every stage as TEMP:HOURS, like 22:2.")
    if any(leg.seconds is None for leg in legs):
        raise refused("stage", "Every stage needs its hours here.", "Use `suppertide rise` for an open stage.")
    dough_c, increase = options["dough_temp"], options["increase"]
    make = _make(options, 0.0)
    instant = fermentation.yeast_for_legs(make, dough_c, legs, increase)
    if instant > MOST_TYPED_PERCENT:
        raise refused(
            "stage", "No amount of yeast brings it this far in these stages.", "Make one of them warmer or longer."
        )
    make = _make(options, instant)
    quick = math.exp(Z80 * band_sd(make, increase, mean_temp(dough_c, legs)))
    best = fermentation.need(increase)
    percent = from_instant(options["yeast"], instant)
    return {
        "yeast_percent": tidy(percent, 6), "yeast_kind": options["yeast"], "instant_percent": tidy(instant, 6),
        "increase_low": tidy(fermentation.increase_for(best / quick)),
        "increase_high": tidy(fermentation.increase_for(best * quick)),
        "dough_end_c": tidy(along(dough_c, legs)[1], 2),
        **_yeast_in_grams(percent, options), "outside_range": _said(outside_range(make, dough_c, legs)),
    }  # fmt: skip


def _said(beyond: Iterable[Beyond]) -> list[str]:
    return [beyond_words(one) for one in beyond]


def _yeast_in_grams(percent: float, options: Options) -> Options:
    if options["flour"] is None:
        return {}
    yeast_g = above_zero("flour", options["flour"]) * percent / 100.0
    here = scales(options)
    dose = weighing.dosing(yeast_g, here, options["yeast"], measures=doughs.measures())
    words = dose_words(dose, scales_here(here, options["yeast"]))
    return {"yeast_g": tidy(yeast_g), "dosing": words, "dosing_error_percent": tidy(dose.error_percent, 1)}


@click.command("water", cls=Spoken)
@click.option("--dough-temp", type=_number, required=True, help="Wanted at the end of mixing, C.")
@click.option("--flour", type=_number, required=True, help="Flour, g.")
@click.option("--water", type=_number, required=True, help="Water, ice included, g.")
@click.option("--flour-temp", type=_number, required=True, help="C.")
@click.option("--room-temp", type=_number, help="C, for the baker's rule; the flour's when not given.")
@click.option("--mixing-rise", type=_number, default=1.0, show_default=True, help="Warming by mixing, C.")
@click.option("--friction", type=_number, default=2.8, show_default=True, help="Friction factor of the rule, C.")
@click.option("--tap", type=_number, default=15.0, show_default=True, help="Tap water, C.")
@click.option("--preferment", type=_number, default=0.0, help="Preferment, g.")
@click.option("--preferment-temp", type=_number, default=20.0, show_default=True, help="C.")
@says
def water_command(**options: Any) -> Options:
    """How warm the water must be for the wanted dough temperature, and how much of it as ice."""
    flour, water = above_zero("flour", options["flour"]), above_zero("water", options["water"])
    wanted, flour_c, pre_g = options["dough_temp"], options["flour_temp"], options["preferment"]
    room_c = options["room_temp"] if options["room_temp"] is not None else flour_c
    temps = (
        wanted,
        flour_c,
        room_c,
        options["mixing_rise"],
        options["friction"],
        options["tap"],
        options["preferment_temp"],
    )
    if not all(-40 <= t <= 110 for t in temps) or not 0 <= pre_g < math.inf:
        raise refused("water", "A temperature or a mass is none.", "Give C between -40 and 110, grams from 0 up.")
    portions = [dough_heat.Portion(flour, flour_c)]
    if pre_g:
        portions.append(dough_heat.Portion(pre_g, options["preferment_temp"], dough_heat.DOUGH_HEAT))
    poured = dough_heat.water_c(wanted, water, portions, options["mixing_rise"])
    ice = dough_heat.ice_g(water, options["tap"], poured)
    found: Options = {
        "water_c": tidy(poured, 2), "ice_g": tidy(ice, 1), "tap_water_g": tidy(water - ice, 1),
        "three_factor_c": tidy(dough_heat.three_factor(wanted, room_c, flour_c, options["friction"]), 2),
    }  # fmt: skip
    if pre_g:
        rule = dough_heat.four_factor(wanted, room_c, flour_c, options["preferment_temp"], options["friction"])
        found["four_factor_c"] = tidy(rule, 2)
    found["outside_range"] = _said(dough_heat.water_limits(poured, water, ice))
    return found


COMMANDS: tuple[click.Command, ...] = (scale_command, rise_command, yeast_command, water_command)
