"""The larder: shipped formulas, topping sets and methods, and this kitchen's own ones with every version kept."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TypeVar

from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method
from webapp.core.formula.toppings import ToppingSet
from webapp.data import doughs, toppings
from webapp.doughs.own import OWN, Kind, read_own, versions
from webapp.doughs.own_kinds import FORMULAS, METHODS, TOPPINGS
from webapp.store.ids import NotHere
from webapp.store.store import Store

T = TypeVar("T")


@dataclass(frozen=True)
class Larder:
    """What can be chosen in a kitchen, by key; own things come first."""

    formulas: Mapping[str, Formula]
    toppings: Mapping[str, ToppingSet]
    methods: Mapping[str, Method]
    unreadable: tuple[str, ...] = ()  # names of own things that this program cannot read: left out

    def formula_notes(self) -> dict[str, str]:
        """One line under each formula's name."""
        return {key: one.note for key, one in self.formulas.items()}

    def topping_names(self) -> list[tuple[str, str]]:
        """For a drop-down."""
        return [(key, one.name) for key, one in self.toppings.items()]

    def method_names(self) -> list[tuple[str, str]]:
        """For a drop-down."""
        return [(key, one.name) for key, one in self.methods.items()]


def with_put_away(store: Store, kitchen_id: str, formula_key: str, toppings_key: str, method_key: str) -> Larder:
    """The same with these three, in their last versions, where they were put away since: bakes keep what they have."""
    now = of_kitchen(store, kitchen_id)
    return replace(
        now,
        formulas=_with(store, kitchen_id, FORMULAS, now.formulas, formula_key),
        toppings=_with(store, kitchen_id, TOPPINGS, now.toppings, toppings_key),
        methods=_with(store, kitchen_id, METHODS, now.methods, method_key),
    )


def _with(store: Store, kitchen_id: str, kind: Kind[T], there: Mapping[str, T], key: str) -> Mapping[str, T]:
    if not key.startswith(OWN) or key in there:
        return there
    with suppress(NotHere):
        last = next(iter(versions(store, kitchen_id, kind, key)), None)
        return {**there, key: last.thing} if last else there
    return there


def of_kitchen(store: Store, kitchen_id: str) -> Larder:
    """Everything this kitchen can choose from."""
    with store.reading():
        mine, odd_formulas = read_own(store, kitchen_id, FORMULAS)
        on_top, odd_toppings = read_own(store, kitchen_id, TOPPINGS)
        ways, odd_methods = read_own(store, kitchen_id, METHODS)
    return Larder(
        mine | {one.key: one for one in doughs.formulas()},
        on_top | toppings.topping_sets(),
        ways | doughs.methods(),
        odd_formulas + odd_toppings + odd_methods,
    )
