"""Preferments: the overall formula divided into what is made ahead and what is left for the final dough.

Overall formula first; the preferment's flour is its share of all flour; the final dough is the overall formula minus
the preferment, ingredient by ingredient; yeast in the preferment is part of, not extra to, the overall yeast
(worked example: King Arthur French bread with poolish, bakemag.com article 10807).
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.formula.ingredients import Formula, Ingredient
from webapp.core.kinds import LINE_KINDS, IngredientKind, LineKind

YEAST_KEY = "yeast"


@dataclass(frozen=True)
class PartLine:
    """One line of a part: percent of ALL flour of the overall formula."""

    key: str
    name: str  # of the ingredient; "" for yeast, whose kind the formula says
    kind: LineKind
    percent: float
    allergens: tuple[str, ...] = ()


@dataclass(frozen=True)
class Part:
    """The preferment (its own key) or the final dough ("dough"), lines in pouring order."""

    key: str
    lines: tuple[PartLine, ...]

    @property
    def percent(self) -> float:
        """The whole part as percent of all flour."""
        return sum(line.percent for line in self.lines)


def parts(formula: Formula) -> tuple[Part, ...]:
    """The preferment, if there is one, and the final dough; together exactly the overall formula.

    In the final dough the preferment is one line of kind "preferment". Pouring order is common practice: water,
    yeast, flour, then salt and fat.
    """
    overall = [PartLine(i.key, i.name, i.kind, i.percent, i.allergens) for i in formula.ingredients]
    overall.append(PartLine(YEAST_KEY, "", "yeast", formula.yeast_percent))
    ahead = _made_ahead(formula)
    if not ahead or formula.preferment is None:
        return (Part("dough", _in_order(overall)),)
    taken = {line.key: line.percent for line in ahead}
    pre = formula.preferment
    allergens = tuple(dict.fromkeys(a for line in ahead for a in line.allergens))
    rest = [PartLine(o.key, o.name, o.kind, o.percent - taken.get(o.key, 0.0), o.allergens) for o in overall]
    final = [line for line in rest if line.percent > 1e-9]
    final.append(PartLine(pre.key, pre.name, "preferment", sum(taken.values()), allergens))
    return (Part(pre.key, _in_order(ahead)), Part("dough", _in_order(final)))


def _made_ahead(formula: Formula) -> list[PartLine]:
    pre = formula.preferment
    if pre is None:
        return []
    share = pre.flour_percent / 100.0
    flour = _first(formula, "flour", pre.flour_key)
    water = _first(formula, "water", "")
    return [
        PartLine(water.key, water.name, "water", share * pre.hydration_percent, water.allergens),
        PartLine(YEAST_KEY, "", "yeast", share * pre.yeast_percent),
        PartLine(flour.key, flour.name, "flour", pre.flour_percent, flour.allergens),
    ]


def _first(formula: Formula, kind: IngredientKind, key: str) -> Ingredient:
    return next(i for i in formula.ingredients if i.kind == kind and key in ("", i.key))


def _in_order(lines: list[PartLine]) -> tuple[PartLine, ...]:
    return tuple(sorted(lines, key=lambda line: LINE_KINDS.index(line.kind)))
