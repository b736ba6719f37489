"""Baker's percentages and grams: the questions one asks of a formula.

The sum of all percentages always exceeds 100 %, and `flour = dough / (sum / 100)` (Baking Business, Baker's
Dictionary, "Baker's percent"). The records are in `ingredients.py`, what keeps a formula from working in
`check.py`, the division into preferment and final dough in `preferment.py`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, asdict, fields, replace
from typing import Any, Literal, get_origin, get_type_hints

from webapp.core.errors import PlanError, Problem
from webapp.core.formula.check import checked
from webapp.core.formula.ingredients import (
    Formula,
    Ingredient,
    Preferment,
    instant_equivalent,
)
from webapp.core.kinds import YeastKind


def with_yeast(formula: Formula, kind: YeastKind, percent: float) -> Formula:
    """The same formula with this yeast in all; a preferment keeps its share of it, changed in the same proportion."""
    instant_equivalent(kind, percent)  # an unknown kind is named here
    pre = formula.preferment
    if pre is not None and formula.yeast_percent > 0:
        pre = replace(pre, yeast_percent=pre.yeast_percent * percent / formula.yeast_percent)
    return replace(formula, yeast_kind=kind, yeast_percent=percent, preferment=pre)


def whole_share(formula: Formula) -> float:
    """The part of all flour that is whole grain, 0 to 1."""
    return sum(i.percent * i.whole_share for i in formula.ingredients if i.kind == "flour") / 100.0


MUCH_SUGAR = 8.0  # percent: from there on a crust browns as one with milk does (common practice)


def is_enriched(formula: Formula) -> bool:
    """Milk, egg or much sugar in the dough, which then browns and is done at lower heats; butter alone does not."""
    rich = any(one.kind != "fat" and {"milk", "eggs"} & set(one.allergens) for one in formula.ingredients)
    return rich or formula.sugar_percent >= MUCH_SUGAR


def allergens(formula: Formula) -> tuple[str, ...]:
    """Keys of the allergens of everything in the dough, in order of appearance."""
    return tuple(dict.fromkeys(a for i in formula.ingredients for a in i.allergens))


def percents_from_grams(grams: Mapping[str, float], flour_keys: Iterable[str]) -> dict[str, float]:
    """Baker's percentages of ingredients given in grams (any one unit of mass serves): flour together is 100.

    PlanError at "flour" when there is none.
    """
    flour = math.fsum(grams[k] for k in flour_keys)
    if not 0 < flour < math.inf:
        raise PlanError.at("flour", "no-flour-weight")
    return {key: g * 100.0 / flour for key, g in grams.items()}


def flour_g(formula: Formula, dough_g: float) -> float:
    """Flour in all for this much dough: dough / (sum of percent / 100)."""
    return dough_g * 100.0 / formula.sum_percent


def formula_from_dict(plain: Any) -> Formula:
    """A checked formula from plain values under the records' own field names (TOML, JSON, a form).

    PlanError names everything that is wrong at once: what is missing, unknown or of the wrong kind, or, when the
    values read well, what keeps the formula from being a dough.
    """
    if not isinstance(plain, Mapping):
        raise PlanError.at("formula", "no-formula-values", typed=str(plain))
    problems: list[Problem] = []
    rows = plain.get("ingredients", ())
    if not isinstance(rows, (list, tuple)):
        rows, problems = (), [Problem("ingredients", "no-list")]
    ingredients = [_values(Ingredient, row, problems) for row in rows]
    pre = plain.get("preferment")
    preferment = _values(Preferment, pre, problems) if pre is not None else None
    rest = {k: v for k, v in plain.items() if k not in ("ingredients", "preferment")}
    base = _values(Formula, {**rest, "ingredients": ()}, problems)
    if problems:
        raise PlanError(*problems)
    base["ingredients"] = tuple(Ingredient(**values) for values in ingredients)
    base["preferment"] = Preferment(**preferment) if preferment is not None else None
    return checked(Formula(**base))


def formula_to_dict(formula: Formula) -> dict[str, Any]:
    """Plain values under the records' own field names; `formula_from_dict` makes the same formula of them."""
    plain = asdict(formula)
    plain["ingredients"] = [
        {**row, "allergens": list(row["allergens"]), "allergens_by_name": list(row["allergens_by_name"])}
        for row in plain["ingredients"]
    ]
    if formula.preferment is None:
        del plain["preferment"]
    return plain


def _values(record: type, row: Any, problems: list[Problem]) -> dict[str, Any]:
    """The row's values, each read as the record's field wants it; what cannot be read goes into `problems`."""
    if not isinstance(row, Mapping):
        problems.append(Problem(record.__name__.lower(), "no-table", {"typed": str(row)}))
        return {}
    known, hints = {f.name: f for f in fields(record)}, get_type_hints(record)
    strange = (name for name in row if name not in known)
    problems += [Problem(name, "unknown-name", {"name": str(name)}) for name in strange]
    values: dict[str, Any] = {}
    for name, f in known.items():
        if name in row:
            values[name] = _read(
                name, "str" if get_origin(hints[name]) is Literal else str(f.type), row[name], problems
            )
        elif f.default is MISSING:
            problems.append(Problem(name, "missing", {"name": name, "record": record.__name__.lower()}))
    return values


def _read(name: str, wanted: str, value: Any, problems: list[Problem]) -> Any:
    if wanted == "float":
        return _number(name, value, problems)
    if (wanted == "str" and isinstance(value, str)) or (wanted == "bool" and isinstance(value, bool)):
        return value
    if wanted.startswith("tuple") and isinstance(value, (list, tuple)) and all(isinstance(one, str) for one in value):
        return tuple(value)
    problems.append(Problem(name, "does-not-fit", {"typed": str(value), "name": name}))
    return value


def _number(name: str, value: Any, problems: list[Problem]) -> float:
    try:
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return float(value)
        return float(str(value).strip().replace(",", "."))
    except (ValueError, OverflowError):  # an int of more than 308 digits overflows
        problems.append(Problem(name, "no-number", {"typed": str(value)}))
        return math.nan
