"""What the book asks and answers, and what two bakes side by side are compared in."""

from __future__ import annotations

WRITTEN = "Written down."


def taken_along(change: str) -> str:
    """A change for every plan from now on."""
    return f"Taken along: {change} Every plan from now on says so, until you drop it."


DOUGH, WAY, PANS, WATER, SALT, OIL, YEAST = "Dough", "Way", "Pans", "Water", "Salt", "Oil", "Yeast"
TO_PRESSING, AT_PRESSING = "From mixing to pressing", "Risen at pressing"
TO_OVEN, AT_LOADING = "From pressing to the oven", "Risen at loading"
OVEN, DIAL, UNDER, HEATED, IN_OVEN = "Oven", "Dial", "Under the tray", "Oven heated for", "In the oven"


def oven_in_short(dial: str, slab: str, preheat_min: int) -> str:
    """Dial, slab and how long it is heated."""
    return f"{dial}, {slab}, {preheat_min} min to heat"


def first_and_second(name: str) -> tuple[str, str]:
    """Two bakes that cannot be told apart by anything else."""
    return f"{name}, the first", f"{name}, the second"
