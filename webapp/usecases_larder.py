"""The larder: shipped formulas, topping sets and methods, and this kitchen's own ones with every version kept."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cache

from webapp import larder, larder_oven
from webapp.core.errors import PlanError
from webapp.core.formula import Formula, formula_from_dict, formula_to_dict
from webapp.core.method import Method, method_from_dict
from webapp.core.toppings import ToppingSet
from webapp.store import Store
from webapp.usecases import NewId, NotHere
from webapp.usecases_methods import own_methods
from webapp.usecases_toppings import own_sets

OWN = "own-"  # keys of own formulas begin so: they never meet a shipped one, now or later
MOST_OWN = 200
_FORMULA = "formula"


@dataclass(frozen=True)
class Shelf:
    """What can be chosen in a kitchen, by key; own things come first."""

    formulas: Mapping[str, Formula]
    toppings: Mapping[str, ToppingSet]
    methods: Mapping[str, Method]

    def formula_notes(self) -> dict[str, str]:
        """One line under each formula's name."""
        return {key: one.note for key, one in self.formulas.items()}

    def topping_names(self) -> list[tuple[str, str]]:
        """For a drop-down."""
        return [(key, one.name) for key, one in self.toppings.items()]

    def method_names(self) -> list[tuple[str, str]]:
        """For a drop-down."""
        return [(key, one.name) for key, one in self.methods.items()]


@dataclass(frozen=True)
class Version:
    """One saved state of an own formula."""

    number: int
    saved_at: int
    formula: Formula


def shelf(store: Store, kitchen_id: str) -> Shelf:
    """Everything this kitchen can choose from."""
    shipped = {one.key: one for one in larder.formulas()}
    on_top = own_sets(store, kitchen_id) | larder_oven.topping_sets()
    ways = own_methods(store, kitchen_id) | methods()
    return Shelf(own_formulas(store, kitchen_id) | shipped, on_top, ways)


@cache
def methods() -> dict[str, Method]:
    """The shipped methods by key, in the order of the file."""
    return {one.key: one for one in map(method_from_dict, larder.table("methods")["method"])}


def own_formulas(store: Store, kitchen_id: str) -> dict[str, Formula]:
    """This kitchen's formulas by key, each in its newest version.

    One that this version of the program cannot read is left out, not lost: it must not lock the kitchen.
    """
    found = {}
    for row in store.on_shelf(kitchen_id, _FORMULA):
        with suppress(PlanError):
            found[row.key] = formula_from_dict(row.body)
    return found


def save_formula(store: Store, now: int, new_id: NewId, kitchen_id: str, formula: Formula) -> str:
    """Save as a new formula, or as a new version when its key is one of ours; the key.

    Bakes already planned keep what they were planned with: their plan is a snapshot.
    """
    with store.transaction():
        known = store.shelf_keys(kitchen_id, _FORMULA)
        key = formula.key if formula.key in known else OWN + new_id()
        if key not in known and len(known) >= MOST_OWN:
            raise _full()
        plain = formula_to_dict(formula) | {"key": key}
        if plain not in [row.body for row in store.on_shelf(kitchen_id, _FORMULA)]:
            store.put_on_shelf(kitchen_id, _FORMULA, key, plain, now)
    return key


def versions(store: Store, kitchen_id: str, key: str) -> tuple[Version, ...]:
    """Every version of an own formula, the newest first; NotHere when it is not ours."""
    rows = store.versions(kitchen_id, _FORMULA, key)
    if not rows:
        raise NotHere(key)
    return tuple(Version(row.version, row.saved_at, formula_from_dict(row.body)) for row in rows)


def put_away(store: Store, kitchen_id: str, key: str) -> None:
    """Take an own formula off the shelf; its versions stay."""
    if not store.put_away(kitchen_id, _FORMULA, key):
        raise NotHere(key)


def _full() -> PlanError:
    return PlanError.at("name", f"The larder holds {MOST_OWN} own formulas already.", "Put one away first.")
