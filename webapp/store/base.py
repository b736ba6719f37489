"""Transactions over one database. What is kept in it is told by the modules beside this one."""

from __future__ import annotations

import json
import weakref
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Insert, Select, Table, bindparam, column, insert, select, table, update
from sqlalchemy.dialects import postgresql, sqlite

from webapp.store.engines.choose import opened
from webapp.store.schema.tables import calendar_versions

_MORE = (
    update(calendar_versions)
    .where(calendar_versions.c.kitchen_id == bindparam("kitchen"))
    .values(version=calendar_versions.c.version + 1)
)
_FIRST = insert(calendar_versions).values(kitchen_id=bindparam("kitchen"), version=1)
_THERE: Select[tuple[str]] = select(column("version_num")).select_from(table("alembic_version")).limit(1)


def group_in(text: str) -> dict[str, Any]:
    """What a column holds as JSON; empty when that is no JSON object: a damaged row must not lock the kitchen."""
    with suppress(ValueError, RecursionError):
        group = json.loads(text)
        if isinstance(group, dict):
            return group
    return {}


class Group(Mapping[str, Any]):
    """The same, read when it is looked into. Whoever remembers what was made of it does so by its `text`."""

    def __init__(self, text: str) -> None:
        self.text = text

    @cached_property
    def _values(self) -> dict[str, Any]:
        return group_in(self.text)

    def __getitem__(self, name: str) -> Any:
        return self._values[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)

    def __repr__(self) -> str:
        return repr(self._values)


def or_leave(db: Connection, there: Table) -> Insert:
    """An INSERT that leaves a row as it is whose key is there already."""
    return _insert(db, there).on_conflict_do_nothing()


def put(db: Connection, there: Table, row: Mapping[str, Any]) -> None:
    """Write a row; one with this key becomes this one as a whole, and what belongs to it stays."""
    new = _insert(db, there).values(**row)
    whole = {one.name: new.excluded[one.name] for one in there.columns if not one.primary_key}
    db.execute(new.on_conflict_do_update(index_elements=list(there.primary_key.columns), set_=whole))


def _insert(db: Connection, there: Table) -> sqlite.Insert | postgresql.Insert:
    """Either's own, which knows what to do where the key is there: the same words in both."""
    return sqlite.insert(there) if db.dialect.name == "sqlite" else postgresql.insert(there)


@dataclass
class _Open:
    """The transaction of this thread; `held`: kitchens in which nobody else writes until its end."""

    db: Connection
    writes: bool
    held: set[str] = field(default_factory=set)


class Base:
    """Transactions. A use case wraps its calls in `transaction()` or `reading()`; a call outside makes its own."""

    def __init__(self, where: Path | str) -> None:
        """Open it: an SQLite file (made when it is not there), or the address of a PostgreSQL database. Its tables are
        brought up to date."""
        self.where = where
        self._open: ContextVar[_Open | None] = ContextVar(f"suppertide-{id(self)}", default=None)
        self._database = opened(where)
        weakref.finalize(self, self._database.close)

    @property
    def path(self) -> Path:
        """The SQLite file."""
        return Path(self.where)

    def close(self) -> None:
        """Let go of the database; the next question opens it again."""
        self._database.close()

    @contextmanager
    def transaction(self, kitchen_id: str = "") -> Iterator[Connection]:
        """All or nothing; inside another transaction of the same thread this one is a part of it. Nobody else writes in
        that kitchen from here to its end."""
        outer = self._open.get()
        if outer is not None:
            self._hold(outer, kitchen_id)
            yield outer.db
            return
        with self._database.writing() as db, self._opened(_Open(db, writes=True)) as open_now:
            self._hold(open_now, kitchen_id)
            yield db

    @contextmanager
    def reading(self, kitchen_id: str = "") -> Iterator[Connection]:
        """One consistent view, which never waits for a writer. Nothing may be written inside: the database refuses it.
        What is read of a kitchen within a transaction holds until its end."""
        outer = self._open.get()
        if outer is not None:
            self._hold(outer, kitchen_id)
            yield outer.db
            return
        with self._database.reading() as db, self._opened(_Open(db, writes=False)):
            yield db

    @contextmanager
    def asking(self) -> Iterator[Connection]:
        """The same for one question, which is asked all day: nothing is begun for it."""
        outer = self._open.get()
        if outer is not None:
            yield outer.db
            return
        with self._database.asking() as db:
            yield db

    def _hold(self, open_now: _Open, kitchen_id: str) -> None:
        if kitchen_id and open_now.writes and kitchen_id not in open_now.held:
            open_now.held.add(kitchen_id)
            self._database.hold(open_now.db, kitchen_id)

    @contextmanager
    def _opened(self, open_now: _Open) -> Iterator[_Open]:
        """This one is the thread's until its end."""
        token = self._open.set(open_now)
        try:
            yield open_now
        finally:
            self._open.reset(token)

    @staticmethod
    def calendar_shows_more(db: Connection, kitchen_id: str) -> None:
        """Step the counter of what a calendar of that kitchen shows; it begins with the first picked plan."""
        if not db.execute(_MORE, {"kitchen": kitchen_id}).rowcount:
            db.execute(_FIRST, {"kitchen": kitchen_id})

    @staticmethod
    def calendar_changed(db: Connection, kitchen_id: str) -> None:
        """The same where nothing begins."""
        db.execute(_MORE, {"kitchen": kitchen_id})

    def check(self) -> bool:
        """True when the database answers; for GET /health."""
        with self.reading() as db:
            return db.execute(_THERE).first() is not None
