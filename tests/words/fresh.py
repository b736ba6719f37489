"""A plan as the planner makes it today, with facts and no words: an invented Wednesday in a flat with a steel."""

from __future__ import annotations

import re
from functools import cache
from types import SimpleNamespace

from webapp.core.kitchen import Kitchen, Oven, Wish
from webapp.core.plan.plan import Plan
from webapp.core.plan.tray import Pan
from webapp.data import doughs
from webapp.data.toppings import topping_sets
from webapp.planning.full_plan import plans_for

MORNING = 1795564800 + 6 * 3600 + 40 * 60  # Wednesday 2026-11-25, 06:40 in a zone at UTC
TRAY = Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0)
SURE = re.compile(
    "Near enough|Ready up to|exact enough|may be off by|may have it ready"
)  # how exact a dose of yeast is
SHELF = SimpleNamespace(
    formulas={one.key: one for one in doughs.formulas()}, toppings=topping_sets(), methods=doughs.methods()
)
KITCHEN = Kitchen(zone="Europe/Lisbon", micro_step_g=0.01, oven=Oven(slab="steel", slab_mm=10.0))


@cache
def fresh_plan(formula: str = "bench-tray", pans: tuple[Pan, ...] = (TRAY,), kitchen: Kitchen = KITCHEN) -> Plan:
    """The planner's first choice for the next evening at eight."""
    wish = Wish("2026-11-26T20:00", pans, formula, "tomato-cheese")
    return plans_for(wish, kitchen, MORNING, "b" * 22, SHELF)[0]
