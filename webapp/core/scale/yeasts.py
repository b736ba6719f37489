"""The same dough with another yeast than planned: what is in the cupboard decides at the bench, also offline.

The flour stays as it is, so that nothing weighed before is wrong; yeast, the water it comes in and the water that this
leaves follow, by what each kind is worth (Hamelman, Bread: fresh x 0.33 instant, x 0.40 active dry).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from webapp.core.formula.formula import flour_g, with_yeast
from webapp.core.formula.ingredients import Formula, from_instant
from webapp.core.kinds import YEAST_KINDS
from webapp.core.kitchen import Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.weights import OtherYeast, WeighLine
from webapp.core.scale.measures import Measure
from webapp.core.scale.weighing import weigh_out

FOLLOW = ("yeast", "water", "preferment")  # kinds of line that change with the yeast


def other_yeasts(
    formula: Formula,
    dough_g: float,
    kitchen: Kitchen,
    water_c: float,
    measures: Mapping[str, Measure],
    forgiven_percent: float = 0.0,
) -> tuple[OtherYeast, ...]:
    """The weigh-out list of this dough for each kind of yeast but its own; `forgiven_percent` as in `weigh_out`."""
    weigh = partial(weigh_out, kitchen=kitchen, water_c=water_c, measures=measures, forgiven_percent=forgiven_percent)
    before = {(line.part, line.key): line for line in weigh(formula, dough_g)}
    flour = flour_g(formula, dough_g)
    found = []
    for kind in YEAST_KINDS:
        if kind != formula.yeast_kind:
            other = with_yeast(formula, kind, from_instant(kind, formula.instant_percent))
            lines = weigh(other, flour * other.sum_percent / 100.0)
            found.append(OtherYeast(kind, tuple(_kept(lines, before))))
    return tuple(found)


def _kept(lines: tuple[WeighLine, ...], before: Mapping[tuple[str, str], WeighLine]) -> Iterator[WeighLine]:
    """The new list; what the yeast does not move weighs what it did, to the step of the scale."""
    for line in lines:
        old = before.get((line.part, line.key))
        yield line if old is None or line.kind in FOLLOW else replace(line, weigh_g=old.weigh_g)


def as_weighed(plan: Plan, kind: str) -> Plan:
    """The plan with the list that was weighed out at the bench, by the journal's `yeast`; as it is for any other word.

    Its yeast is told in percent of the kind that went in; the rise does not change, for each kind is worth the same.
    """
    for one in plan.other_yeasts:
        if one.kind == kind:
            percent = sum(line.percent for line in one.lines if line.kind == "yeast")
            return replace(plan, yeast_kind=one.kind, yeast_percent=percent, lines=one.lines)
    return plan
