"""This kitchen's own methods, on the larder's shelf beside its formulas and toppings. The world is handed in."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from webapp.core.errors import PlanError
from webapp.core.method import Method, method_from_dict, method_to_dict
from webapp.store import Store
from webapp.usecases import NewId, NotHere

OWN = "own-"  # keys of own methods begin so: they never meet a shipped one
MOST_OWN = 12  # each is tried for every wish that names no method
_SHELF = "method"


@dataclass(frozen=True)
class MethodVersion:
    """One saved state of an own method."""

    number: int
    saved_at: int
    method: Method


def own_methods(store: Store, kitchen_id: str) -> dict[str, Method]:
    """Own methods by key, each in its newest version.

    One that this version of the program cannot read is left out, not lost: it must not lock the kitchen.
    """
    found = {}
    for row in store.on_shelf(kitchen_id, _SHELF):
        with suppress(PlanError):
            found[row.key] = method_from_dict(row.body)
    return found


def own_method(store: Store, kitchen_id: str, key: str) -> Method:
    """One of them; NotHere for a foreign, shipped or missing one."""
    own = own_methods(store, kitchen_id)
    if key not in own:
        raise NotHere(key)
    return own[key]


def save_method(store: Store, now: int, new_id: NewId, kitchen_id: str, method: Method, key: str = "") -> str:
    """Save as a new method, or as a new version of `key`; the key. NotHere when `key` is not ours.

    Bakes already planned keep what they were planned with. Raises PlanError at "name" when the shelf is full.
    """
    with store.transaction():
        on_shelf = {row.key: row.body for row in store.on_shelf(kitchen_id, _SHELF)}
        if key and key not in on_shelf:
            raise NotHere(key)
        if not key and len(on_shelf) >= MOST_OWN:
            raise PlanError.at("name", f"The larder holds {MOST_OWN} own methods already.", "Put one away first.")
        key = key or OWN + new_id()
        plain = method_to_dict(method) | {"key": key}
        if plain != on_shelf.get(key):
            store.put_on_shelf(kitchen_id, _SHELF, key, plain, now)
    return key


def versions(store: Store, kitchen_id: str, key: str) -> tuple[MethodVersion, ...]:
    """Every version of an own method that can be read, the newest first; NotHere when it is not ours."""
    rows = store.versions(kitchen_id, _SHELF, key)
    if not rows:
        raise NotHere(key)
    found = []
    for row in rows:
        with suppress(PlanError):
            found.append(MethodVersion(row.version, row.saved_at, method_from_dict(row.body)))
    return tuple(found)


def put_away(store: Store, kitchen_id: str, key: str) -> None:
    """Take an own method off the shelf; its versions stay. NotHere when it is not there."""
    if not store.put_away(kitchen_id, _SHELF, key):
        raise NotHere(key)
