"""What the functions of an oven do: one table of facts, a row for each.

`less_c`: how much lower its air is set to bake like top and bottom heat (20 C with a fan, common practice: British
recipe charts). Convection in W/m2K, slow edge, likely, quick edge, on a slab and on a crust: 5-10 in still air, 15-25
with a fan (from memory); a crust lies lower in its tray, where the air moves less.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from webapp.core.kinds import OvenFunction
from webapp.core.oven.heat_flow import STILL_AIR_H

Edges = tuple[float, float, float]


@dataclass(frozen=True)
class FunctionFacts:
    """One row of the table."""

    less_c: float
    slab_h: Edges
    crust_h: Edges


FUNCTIONS: Mapping[OvenFunction, FunctionFacts] = {
    "still": FunctionFacts(0.0, STILL_AIR_H, STILL_AIR_H),
    "fan": FunctionFacts(20.0, (15.0, 20.0, 25.0), (12.0, 17.0, 22.0)),
}
