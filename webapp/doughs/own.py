"""Things of one's own in the larder, of whatever kind (`own_kinds.py`). One rule for all of them.

Nothing is overwritten: an edit is a new version, and a bake keeps what it was planned with, because its plan is a
snapshot. Something that this version of the program cannot read is named and left out, not lost: it must not lock the
kitchen.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Generic, TypeVar, cast

from webapp.core.errors import PlanError
from webapp.records import misshapen
from webapp.store.ids import NewId, NotHere
from webapp.store.larder import LarderRow
from webapp.store.store import Store
from webapp.words.problems import typed as said
from webapp.words.problems.told import refused

_MOST_NAME = 60
_MOST_READ = 1024  # remembered
OWN = "own-"  # keys of own things begin so: they never meet a shipped one, now or later

T = TypeVar("T")


@dataclass(frozen=True)
class Kind(Generic[T]):
    """A kind of own thing: its name in store and files, how many may be, and its plain values."""

    name: str
    most: int
    reads: Callable[[Mapping[str, Any]], T]  # raises PlanError
    write: Callable[[T], dict[str, Any]]

    def read(self, plain: Mapping[str, Any]) -> T:
        """The thing itself. PlanError for whatever it cannot be made of: a damaged row may hold any value anywhere."""
        try:
            json.dumps(plain, ensure_ascii=False).encode()  # half a character (a lone surrogate) can be shown nowhere
            return self.reads(plain)
        except (TypeError, ValueError, LookupError, ArithmeticError, AttributeError) as error:
            raise misshapen() from error


@dataclass(frozen=True)
class Version(Generic[T]):
    """One saved state of something."""

    number: int
    saved_at: int
    thing: T


def read_own(store: Store, kitchen_id: str, kind: Kind[T]) -> tuple[dict[str, T], tuple[str, ...]]:
    """Those of a kind, each in its newest version: by key, and the names of those that cannot be read."""
    read: dict[str, T] = {}
    unread = []
    for row in store.in_larder(kitchen_id, kind.name):
        thing = _read(kind, row)
        if thing is None:
            unread.append(name_of(row.body, row.key))
        else:
            read[row.key] = thing
    return read, tuple(unread)


def own(store: Store, kitchen_id: str, kind: Kind[T]) -> dict[str, T]:
    """This kitchen's own ones by key."""
    return read_own(store, kitchen_id, kind)[0]


def _read(kind: Kind[T], row: LarderRow) -> T | None:
    """None when this program cannot read it."""
    return cast(T | None, _read_text(kind, json.dumps(row.body)))


@lru_cache(maxsize=_MOST_READ)
def _read_text(kind: Kind[Any], text: str) -> Any:
    """By its text, as a page asks for all of them several times."""
    with suppress(PlanError):
        return kind.read(json.loads(text))
    return None


def unreadable(store: Store, kitchen_id: str, kind: Kind[T]) -> tuple[str, ...]:
    """What is there and cannot be read: by its name where that can be read, else by its key."""
    return read_own(store, kitchen_id, kind)[1]


def name_of(body: Mapping[str, Any], key: str) -> str:
    """What a person calls something that cannot be read: its name where that can be shown, else its key."""
    name = body.get("name")
    return name[:_MOST_NAME] if isinstance(name, str) and name and name.isprintable() else key


def last_name(store: Store, kitchen_id: str, kind: Kind[T], key: str) -> str:
    """What something was called last, though it was put away; its key where nothing is left of it."""
    rows = store.versions(kitchen_id, kind.name, key)
    return name_of(rows[-1].body, key) if rows else key


def own_one(store: Store, kitchen_id: str, kind: Kind[T], key: str) -> T:
    """One of them; NotHere for a foreign, shipped or missing one."""
    every = own(store, kitchen_id, kind)
    if key not in every:
        raise NotHere(key)
    return every[key]


def save(store: Store, now: int, new_id: NewId, kitchen_id: str, kind: Kind[T], thing: T, key: str = "") -> str:
    """Save as a new one, or as a new version of `key` if it differs from its newest; the key.

    Raises NotHere when `key` is none of this kitchen's, PlanError at "name" when there are as many as may be.
    """
    with store.transaction():
        held = {row.key: row.body for row in store.in_larder(kitchen_id, kind.name)}
        if key and key not in held:
            raise NotHere(key)
        if not key and len(held) >= kind.most:
            raise refused("name", *said.many_own(kind.most, kind.name))
        key = key or OWN + new_id()
        plain = kind.write(thing) | {"key": key}
        if not _same(kind, plain, held.get(key)):
            store.put_in_larder(kitchen_id, kind.name, key, plain, now)
    return key


def _same(kind: Kind[T], plain: Mapping[str, Any], held: Mapping[str, Any] | None) -> bool:
    """Do these mean the same thing, also when an older program wrote one of them with fewer values?"""
    with suppress(PlanError):
        return held is not None and kind.read(plain) == kind.read(held)
    return False


def versions(store: Store, kitchen_id: str, kind: Kind[T], key: str) -> tuple[Version[T], ...]:
    """Every version that can be read, the newest first; NotHere when it is not ours."""
    rows = store.versions(kitchen_id, kind.name, key)
    if not rows:
        raise NotHere(key)
    read = ((row, _read(kind, row)) for row in rows)
    return tuple(Version(row.version, row.saved_at, thing) for row, thing in read if thing is not None)


def put_away(store: Store, kitchen_id: str, kind: Kind[T], key: str) -> None:
    """Put it away; its versions stay. NotHere when it is not there."""
    if not store.put_away(kitchen_id, kind.name, key):
        raise NotHere(key)
