"""The larder: shipped formulas, topping sets and methods, and this kitchen's own ones with every version kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from webapp.core.formula.ingredients import Formula
from webapp.core.formula.method import Method
from webapp.core.formula.toppings import ToppingSet
from webapp.data import doughs, toppings
from webapp.doughs.own import read_own
from webapp.doughs.own_kinds import FORMULAS, METHODS, TOPPINGS
from webapp.store.store import Store


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
