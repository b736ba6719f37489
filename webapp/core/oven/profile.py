"""An oven as its owner describes it, and how each style of flat bread is baked in it.

Heats of the styles are common practice: load as hot as the oven goes, then turn down so that the base browns from the
slab before the air scorches the top. A dough with milk, egg or much sugar browns sooner and is baked gentler, whatever
its style: 180-200 C (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from webapp.core.errors import PlanError
from webapp.core.kinds import BreadStyle, ShelfHeight
from webapp.core.kitchen import Oven
from webapp.core.oven import bake_time, slab
from webapp.core.oven.dial import function_c
from webapp.core.oven.heat_flow import STILL_AIR_H, contact_c, effusivity, face_after, radiation_h

DOUGH_C = 24.0
USUAL_SLAB_CM = (40.0, 35.0)


@dataclass(frozen=True)
class Style:
    """How a style is baked, as heats of a still oven's air (C)."""

    heat_c: float  # to load into
    bake_c: float  # to go on at
    shelf: ShelfHeight  # with a slab
    bare_shelf: ShelfHeight  # the same with the tray alone
    on_tray: bool  # baked in its tray or pan, also on a slab
    golden: bool = False  # its open top has to brown


STYLES: dict[BreadStyle, Style] = {
    "thin": Style(270.0, 250.0, "high", "low", False),
    "round": Style(260.0, 240.0, "middle", "low", False),
    "pan": Style(250.0, 230.0, "low", "low", True),
    "tray": Style(250.0, 220.0, "low", "low", True),
    "focaccia": Style(240.0, 220.0, "low", "middle", True, True),
}

ENRICHED_HEAT_C, ENRICHED_BAKE_C = 220.0, 190.0
LEAST_TURN_DOWN_C = 12.0  # less than half a gas mark is no step worth somebody's hand: the dial stays where it is


@dataclass(frozen=True)
class Adjust:
    """What past bakes asked for, accepted by the person: minutes and Celsius added to the plan's own."""

    preheat_min: int = 0
    bake_min: int = 0
    bake_c: float = 0.0
    shelf: ShelfHeight | Literal[""] = ""  # "" = the style's


NO_ADJUST = Adjust()


def style_named(style: BreadStyle, enriched: bool = False) -> Style:
    """The style's heats, those of an enriched dough lower. Raises PlanError at `style` for a word that is none."""
    if style not in STYLES:
        raise PlanError.at("style", "no-style", typed=style)
    shape = STYLES[style]
    return replace(shape, heat_c=ENRICHED_HEAT_C, bake_c=ENRICHED_BAKE_C) if enriched else shape


def slab_of(oven: Oven, edge: int = 1) -> slab.Slab | None:
    """The slab to be heated, with usual sizes where the profile is silent; None when the tray goes in alone.

    `edge` 0 takes the thickest that it may be where nobody said, 2 the thinnest.
    """
    material = slab.MATERIALS.get(oven.slab)
    if material is None:
        return None
    width, depth = (oven.slab_width_cm or USUAL_SLAB_CM[0], oven.slab_depth_cm or USUAL_SLAB_CM[1])
    return slab.Slab(material, (oven.slab_mm or material.thick_mm(edge)) / 1000.0, width * depth / 1e4)


def heating_c(
    oven: Oven, style: BreadStyle = "tray", adjust: Adjust = NO_ADJUST, enriched: bool = False
) -> tuple[float, float]:
    """Real air heats (C) to load into and to bake at, within what this oven's dial reaches.

    A slab is heated at the full heat, fan or not, as it ends at the heat of the air; the bake, and a tray alone, get
    the fan's 20 C less. Two heats that lie close together become the higher one.
    """
    shape = style_named(style, enriched)
    hot = shape.heat_c if slab_of(oven) else function_c(oven, shape.heat_c)
    bake = function_c(oven, shape.bake_c + adjust.bake_c)
    most = oven.highest_c + oven.dial_error_c
    hot, bake = min(hot, most), min(bake, most)
    return hot, hot if 0 < hot - bake < LEAST_TURN_DOWN_C else bake


def shelf_for(oven: Oven, style: BreadStyle, adjust: Adjust = NO_ADJUST) -> ShelfHeight:
    """Where this style bakes best in this oven."""
    shape = style_named(style)
    return adjust.shelf or (shape.shelf if slab_of(oven) else shape.bare_shelf)


def first_minute_c(hot_c: float, h: float, dough_c: float = DOUGH_C) -> float:
    """The base a minute after it meets `hot_c` through `h` W/m2K (semi-infinite solid with surface convection)."""
    diffusivity = bake_time.DOUGH_K / (bake_time.DOUGH_DENSITY[1] * bake_time.DOUGH_C)
    return face_after(60.0, dough_c, hot_c, h, bake_time.DOUGH_K, diffusivity)


def contact(oven: Oven, style: BreadStyle, hot_c: float, dough_c: float = DOUGH_C) -> tuple[float, float]:
    """What a hot slab does to the base that a cold tray cannot: (touch, cold), C; touch is 0 without a slab.

    Bare dough on a slab: contact of two thick bodies by their effusivities, at once. A tray on a slab and a cold tray
    in hot air: thick dough after a minute, heated through the film between (a thin tray holds little heat of its own).
    """
    film = STILL_AIR_H[1] + radiation_h(hot_c, 60.0, bake_time.TRAY_EMISSIVITY)
    cold = first_minute_c(hot_c, film, dough_c)
    lying = slab_of(oven)
    if lying is None:
        return 0.0, cold
    if style_named(style).on_tray:
        return first_minute_c(hot_c, bake_time.TOUCH_H[1], dough_c), cold
    dough = effusivity(bake_time.DOUGH_K, bake_time.DOUGH_DENSITY[1], bake_time.DOUGH_C)
    return contact_c(hot_c, lying.material.effusivity, dough_c, dough), cold
