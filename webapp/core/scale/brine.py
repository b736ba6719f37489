"""Salt on a scale too coarse for it: how far off it would be, and a brine that gives it right.

A brine is to salt what a yeast water is to yeast: an amount that the scale can weigh, stirred into some water, of which
a part goes into the dough and brings water along. One part of salt to nine of water is far from full (about 36 g in
100 g at 20 C: handbook tables of solubility), so it is clear after a minute; what is left keeps for the next bake.
"""

from __future__ import annotations

from dataclasses import replace

from webapp.core.plan.weights import Brine, WeighLine
from webapp.core.scale.dosing import to_step

MOST_OFF = 0.10  # a tenth more or less salt is tasted by some (common practice)
WATER_PER_SALT = 9.0
SALT_STEPS, MOST_SALT_G = 10, 50.0  # of the scale: half a step is then 5 % off
MOST_WITH_SALT = 0.75  # of the recipe's own may come with the salt


def off_percent(line: WeighLine) -> float:
    """How far off this line of salt is as it is weighed, percent of what was asked for; 0 when nobody tastes it."""
    off = (line.weigh_g - line.grams) / line.grams if line.kind == "salt" and line.grams > 0 else 0.0
    return 100.0 * off if abs(off) > MOST_OFF else 0.0


def brine_for(salt_g: float, step_g: float, water_g: float) -> Brine | None:
    """A brine on a scale of this step for so much salt; None where it would bring too much water, or be no better."""
    salt = to_step(min(MOST_SALT_G, SALT_STEPS * step_g), step_g)
    water = to_step(salt * WATER_PER_SALT, step_g)
    take = to_step(salt_g * (salt + water) / salt, step_g)
    given = take * salt / (salt + water)
    if take - given > MOST_WITH_SALT * water_g or abs(given / salt_g - 1.0) > MOST_OFF:
        return None
    return Brine(salt, water, take, take - given)


def with_brine(line: WeighLine, step_g: float, water_g: float) -> WeighLine:
    """Salt on a scale of this step with how far off it is and the brine instead; other lines and good ones as they are.

    `water_g` is the dough's own water. Less than a step cannot be seen on the scale at all.
    """
    off = off_percent(line)
    if line.kind != "salt" or line.weighed_by not in ("scale", "too-little") or not (off or line.grams < step_g):
        return line
    return replace(line, off_percent=off, brine=brine_for(line.grams, step_g, water_g))
