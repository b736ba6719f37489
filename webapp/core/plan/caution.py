"""A caution of a plan, with the step where it matters."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import OutOfFridge

# How long what is perishable may be out of the fridge, and in a kitchen hotter than HOT_ROOM_C (USDA FSIS: 2 h, 1 h
# above 90 F). Twin: static/js/now/fridge_clock.js. Whatever says these figures takes them from words/cautions.py.
OUT_LIMIT_S = 2 * 3600
HOT_LIMIT_S = 3600
HOT_ROOM_C = 32.0


@dataclass(frozen=True)
class Caution:
    """Something that can hurt, said where it matters. `step_id` "" = whole bake."""

    key: str  # a `CautionKey`, "allergens", or "out-" and the key of the first topping it is about ("out-": the dough)
    step_id: str = ""
    names: tuple[str, ...] = ()  # of the toppings it is about; none when it is about the dough
    out: OutOfFridge = ""  # within: `out_s` is less than the limit; over, tray: it would be more; spent: it is already
    out_s: int = 0
    limit_s: int = 0
    load: int = 0  # of several: the one whose tray it is about
    text: str = ""  # shown
    source: str = ""  # shown
