"""The SQLite file: opening, transactions and migrations. What is kept in it is told by the modules beside this one."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, NullPool, create_engine, event
from sqlalchemy.exc import DBAPIError

from webapp.store.schema.numbered import is_up_to_date, take_over
from webapp.store.schema.up_to_date import bring_up_to_date

_BUSY_S = 5.0  # how long a writer waits for another before it gives up


def group_in(text: str) -> dict[str, Any]:
    """What a column holds as JSON; empty when that is no JSON object: a damaged row must not lock the kitchen."""
    with suppress(ValueError, RecursionError):
        group = json.loads(text)
        if isinstance(group, dict):
            return group
    return {}


def text_in(column: str, name: str, otherwise: str) -> str:
    """SQL for a text of the JSON object in a column; `otherwise` where there is none."""
    there = f"json_valid({column}) AND json_type({column}, '$.{name}') = 'text'"
    return f"CASE WHEN {there} THEN json_extract({column}, '$.{name}') ELSE '{otherwise}' END"


NAME_AND_ZONE = f"{text_in('p.plan', 'formula_name', '')}, {text_in('p.plan', 'zone', 'UTC')}"  # of a picked plan `p`


class Base:
    """Connections and transactions.

    A connection is opened for each outermost transaction and closed after it: nothing is shared between threads, and
    a crash leaves nothing open. A use case wraps its calls in `transaction()`; a call outside of one makes its own.
    """

    def __init__(self, path: Path) -> None:
        """Open the file, making it (readable by its owner only) and bringing its tables up to date."""
        self.path = path
        self._open: ContextVar[sqlite3.Connection | None] = ContextVar(f"suppertide-{id(self)}", default=None)
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not path.exists():
            path.touch(mode=0o600)
        migrate(path)

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """All or nothing. Inside another transaction of the same thread this one is a part of it."""
        outer = self._open.get()
        if outer is not None:
            yield outer
            return
        with self._opened() as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            finally:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One consistent view, which never waits for a writer. Nothing may be written inside: SQLite refuses it."""
        outer = self._open.get()
        if outer is not None:
            yield outer
            return
        with self._opened() as connection:
            connection.execute("PRAGMA query_only = ON")
            connection.execute("BEGIN DEFERRED")
            yield connection

    @contextmanager
    def _opened(self) -> Iterator[sqlite3.Connection]:
        """A connection that is the one of this thread until it is closed again."""
        with closing(connect(self.path)) as connection:
            token = self._open.set(connection)
            try:
                yield connection
            finally:
                self._open.reset(token)

    @staticmethod
    def calendar_shows_more(db: sqlite3.Connection, kitchen_id: str) -> None:
        """Step the counter of what a calendar of that kitchen shows; it begins with the first picked plan."""
        db.execute(
            "INSERT INTO calendar_versions (kitchen_id, version) VALUES (?, 1)"
            " ON CONFLICT (kitchen_id) DO UPDATE SET version = version + 1",
            (kitchen_id,),
        )

    @staticmethod
    def calendar_changed(db: sqlite3.Connection, kitchen_id: str) -> None:
        """The same where nothing begins."""
        db.execute("UPDATE calendar_versions SET version = version + 1 WHERE kitchen_id = ?", (kitchen_id,))

    def check(self) -> bool:
        """True when the file answers; for GET /health."""
        with self.reading() as db:
            return bool(db.execute("SELECT 1 FROM alembic_version LIMIT 1").fetchone())


def connect(path: Path, by_name: bool = True) -> sqlite3.Connection:
    """A connection as all of the store uses them: rows by name, foreign keys kept, no transaction begun."""
    # Opened to read and write but never to make: a file that went away under a running server must not come back empty.
    address = f"{path.absolute().as_uri()}?mode=rw"
    connection = sqlite3.connect(address, uri=True, timeout=_BUSY_S, isolation_level=None)
    if by_name:
        connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")  # what was acknowledged survives a power cut: sqlite.org/pragma
    return connection


def migrate(path: Path) -> None:
    """Bring the tables up to date; a file of a version before Alembic is kept beside itself as it was.

    Raises NewerFileError for a file that a newer version has changed: nothing is touched then.
    """
    with closing(connect(path)) as db:
        if is_up_to_date(db, path):
            return
        db.execute("PRAGMA journal_mode = WAL")
        take_over(db, path)
    with _plain_errors(), _engine(path).begin() as whole:
        bring_up_to_date(whole, path)


@contextmanager
def _plain_errors() -> Iterator[None]:
    """What SQLite refuses is told as SQLite says it, not as it is wrapped: failure.py finds its words by that."""
    try:
        yield
    except DBAPIError as wrapped:
        raise (wrapped.orig or wrapped) from wrapped


def _engine(path: Path) -> Engine:
    """SQLAlchemy on the same connections, each transaction a writing one from its beginning."""
    engine = create_engine("sqlite://", creator=lambda: connect(path, by_name=False), poolclass=NullPool)
    event.listen(engine, "begin", lambda db: db.exec_driver_sql("BEGIN IMMEDIATE"))
    return engine
