"""Every kind of thing that a kitchen makes itself, and how it is read: one list for pages, planner and files.

What a file or a damaged row says and no page could have made is not read: it is named and left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from webapp.core.formula.formula import formula_from_dict, formula_to_dict
from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method, method_from_dict, method_to_dict
from webapp.core.formula.toppings import ToppingItem, ToppingSet
from webapp.core.learning import sample_glass
from webapp.core.learning.sample_glass import SampleGlass
from webapp.doughs.own import Kind
from webapp.forms import allergens
from webapp.forms.keeping import with_keeping
from webapp.forms.risks import with_risks
from webapp.forms.toppings import MOST_G_CM2, MOST_TOPPINGS
from webapp.records import ShapeError, from_plain, to_plain
from webapp.words.problems import typed as said
from webapp.words.problems.told import told
from webapp.words.stored_plans import OWN_METHOD


def _formula(plain: Mapping[str, Any]) -> Formula:
    return allergens.in_formula(with_keeping(formula_from_dict(plain)))


def _toppings(plain: Mapping[str, Any]) -> ToppingSet:
    chosen = from_plain(ToppingSet, plain)
    if len(chosen.items) > MOST_TOPPINGS or not all(map(_is_topping, chosen.items)):
        raise _wrong("items", said.WEIGHED_TOPPINGS)
    if chosen.rim is not None and not 0 <= chosen.rim.g_cm <= MOST_G_CM2 * 10:
        raise _wrong("rim", said.WEIGHED_RIM)
    return allergens.in_set(with_risks(chosen))


def _is_topping(item: ToppingItem) -> bool:
    loads = [item.g_cm2_else, *(load for _, load in item.g_cm2)]
    shares = 0 < item.drained_share <= 1 and 0 <= item.salt_share <= 1
    return shares and 0 <= item.fridge_out_s <= 86400 and all(0 <= one <= MOST_G_CM2 for one in loads)


def _wrong(field: str, expected: str) -> ShapeError:
    return ShapeError(told(field, *said.should_be_anew(expected)))


def _method(plain: Mapping[str, Any]) -> Method:
    """What was written down before its source went without saying is as one of today."""
    method = method_from_dict(plain)
    return replace(method, source="") if method.source == OWN_METHOD else method


def _glass(plain: Mapping[str, Any]) -> SampleGlass:
    return sample_glass.checked(from_plain(SampleGlass, plain))


FORMULAS = Kind("formula", 200, _formula, formula_to_dict)
TOPPINGS = Kind("toppings", 100, _toppings, to_plain)
METHODS: Kind[Method] = Kind("method", 12, _method, method_to_dict)  # each is tried for a free wish
GLASSES: Kind[SampleGlass] = Kind("glass", 50, _glass, to_plain)
OWN_KINDS: Mapping[str, Kind[Any]] = {kind.name: kind for kind in (FORMULAS, TOPPINGS, METHODS, GLASSES)}
