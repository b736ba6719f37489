"""A caution of a plan, with the step where it matters."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import OutOfFridge


@dataclass(frozen=True)
class Caution:
    """Something that can hurt, said where it matters. `step_id` "" = whole bake."""

    key: str  # a `CautionKey`, "allergens", or "out-" and the key of the first topping it is about ("out-": the dough)
    step_id: str = ""
    names: tuple[str, ...] = ()  # of the toppings it is about; none when it is about the dough
    out: OutOfFridge = ""  # within: `out_s` is less than the limit; over, tray: it would be more; spent: it is already
    out_s: int = 0
    limit_s: int = 0
    text: str = ""  # shown
    source: str = ""  # shown
