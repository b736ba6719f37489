"""This kitchen's own sets of toppings, on the larder's shelf beside its formulas. The world is handed in."""

from __future__ import annotations

from webapp.bundle import from_plain, to_plain
from webapp.core.errors import PlanError
from webapp.core.toppings import ToppingSet
from webapp.store import Store
from webapp.usecases import NewId, NotHere

OWN = "own-"  # keys of own sets begin so: they never meet a shipped one
MOST_OWN = 100
_SHELF = "toppings"


def own_sets(store: Store, kitchen_id: str) -> dict[str, ToppingSet]:
    """Own sets by key, each in its newest version."""
    return {row.key: from_plain(ToppingSet, row.body) for row in store.on_shelf(kitchen_id, _SHELF)}


def own_set(store: Store, kitchen_id: str, key: str) -> ToppingSet:
    """One of them; NotHere for a foreign, shipped or missing one."""
    sets = own_sets(store, kitchen_id)
    if key not in sets:
        raise NotHere(key)
    return sets[key]


def save_set(store: Store, now: int, new_id: NewId, kitchen_id: str, chosen: ToppingSet, key: str = "") -> str:
    """Save as a new set, or as a new version of `key`; the key. NotHere when `key` is not ours.

    Bakes already planned keep what they were planned with. Raises PlanError at "name" when the shelf is full.
    """
    with store.transaction():
        sets = own_sets(store, kitchen_id)
        if key and key not in sets:
            raise NotHere(key)
        if not key and len(sets) >= MOST_OWN:
            raise PlanError.at("name", f"The larder holds {MOST_OWN} own sets already.", "Put one away first.")
        key = key or OWN + new_id()
        plain = to_plain(chosen) | {"key": key}
        if from_plain(ToppingSet, plain) != sets.get(key):
            store.put_on_shelf(kitchen_id, _SHELF, key, plain, now)
    return key


def put_away(store: Store, kitchen_id: str, key: str) -> None:
    """Take an own set off the shelf; NotHere when it is not there."""
    if not store.put_away(kitchen_id, _SHELF, key):
        raise NotHere(key)
