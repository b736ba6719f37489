"""Reads the shipped formulas, methods, pans and measures into core records. Each is read once and kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from webapp.core.errors import PlanError
from webapp.core.formula.formula import formula_from_dict
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method, method_from_dict
from webapp.core.kitchen import Kitchen
from webapp.core.plan.tray import Pan
from webapp.core.scale.measures import Measure
from webapp.core.scale.pans import pan
from webapp.data.read import table


@cache
def formulas() -> tuple[Formula, ...]:
    """The shipped formulas, in the order of the file."""
    return tuple(_all_said(formula_from_dict(row)) for row in table("formulas")["formula"])


def _all_said(one: Formula) -> Formula:
    """Of what the house writes down every allergen is said, or that there is none."""
    return replace(one, ingredients=tuple(replace(each, allergens_said=True) for each in one.ingredients))


def formula(key: str) -> Formula:
    """A shipped formula by its key; PlanError at "formula_key" when there is none."""
    for one in formulas():
        if one.key == key:
            return one
    raise PlanError.at("formula_key", "no-formula", typed=key)


@cache
def methods() -> dict[str, Method]:
    """The shipped methods by key, in the order of the file."""
    return {one.key: one for one in map(method_from_dict, table("methods")["method"])}


@cache
def pans() -> tuple[Pan, ...]:
    """The common pans, one of each: those of a new kitchen first."""
    return (*Kitchen().pans, *map(_pan, table("pans")["pan"]))


def _pan(row: Mapping[str, Any]) -> Pan:
    size = pan(row["key"], row["name"], row["shape"], row["length_cm"], row.get("width_cm", 0.0))
    return replace(size, called=row.get("called", ""))


@cache
def measures() -> dict[str, Measure]:
    """What a level teaspoon holds, by key ("yeast-instant", "salt", "fat", ...)."""
    return {row["key"]: Measure(**row) for row in table("measures")["measure"]}
