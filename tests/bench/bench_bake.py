"""Does the physics of the bake earn its keep? Against a plain table of known bakes, each row told from the others.

The rows are bakes that home bakers know (common practice; nobody has published a set of measured ones). A table says of
a bake what its neighbours in it take: the mean of the same style, or the nearest by dough, topping and slab. The
physics says it from heat alone; what it was given to fit are a few heats at which crust browns, the same for all rows.
Off by: mean of |ln(said / middle of the row)|.

By hand: `.venv/bin/python -m tests.bench.bench_bake`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tests.core.oven.test_oven import KNOWN_BAKES
from webapp.core.kitchen import Oven
from webapp.core.oven import oven as core


@dataclass(frozen=True)
class Row:
    """One known bake, minutes."""

    style: str
    loading: float
    topping: float
    oven: Oven
    least: int
    most: int

    @property
    def middle(self) -> float:
        """The middle of what bakers say."""
        return math.sqrt(self.least * self.most)


ROWS = tuple(Row(*row) for row in KNOWN_BAKES)
Say = Callable[[Row, Sequence[Row]], float]


def by_physics(row: Row, _: Sequence[Row]) -> float:
    """From heat alone."""
    return float(core.bake_minutes(core.ToBake(row.oven, row.loading, row.topping, row.style))[1])


def by_style(row: Row, others: Sequence[Row]) -> float:
    """What the others of the style take, or all others where it is the only one."""
    alike = [one for one in others if one.style == row.style] or others
    return math.exp(sum(math.log(one.middle) for one in alike) / len(alike))


def by_nearest(row: Row, others: Sequence[Row]) -> float:
    """What the nearest takes: a tenth of a g/cm2 of dough or topping counts as much as another slab."""

    def far(one: Row) -> float:
        apart = abs(one.loading - row.loading) + abs(one.topping - row.topping)
        return apart / 0.1 + (one.oven.slab != row.oven.slab) + (one.oven.function != row.oven.function)

    return min(others, key=far).middle


def off(say: Say) -> float:
    """Mean distance of what is said from what bakers know, ln; each row from all the others."""
    apart = [abs(math.log(say(row, [one for one in ROWS if one is not row]) / row.middle)) for row in ROWS]
    return sum(apart) / len(apart)


def main() -> None:
    """Print how far each is off."""
    for name, say in (("physics", by_physics), ("table, by style", by_style), ("table, nearest", by_nearest)):
        print(f"{name:16} {off(say):.3f}")


if __name__ == "__main__":
    main()
