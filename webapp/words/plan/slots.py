"""Slots for amounts that the kitchen screen fills in itself, for another pan (`static/js/step/other_pan.js`).

A text with slots is made beside the plan's own: nothing looks for an amount in a sentence.
"""

from __future__ import annotations

ALL = "{all}"  # what the scale shall show of this line
SPOONS = "{spoons}"  # how many level spoons that is
PAN = "{pan}"  # the name of the other pan


def grams(grams: float) -> str:
    """So many grams for the planned pan, in the household's unit."""
    return f"{{g:{grams:.6g}}}"


def fine(grams: float) -> str:
    """The same on a fine scale, which shows grams in every household."""
    return f"{{fine:{grams:.6g}}}"
