"""The SQLite file: opening, transactions and migrations. What is kept in it is told by the modules beside this one."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from webapp.store.failure import NewerFileError
from webapp.store.scripts import migrations, statements

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

    def check(self) -> bool:
        """True when the file answers; for GET /health."""
        with self.reading() as db:
            return bool(db.execute("SELECT 1 FROM schema_done LIMIT 1").fetchone())


def connect(path: Path) -> sqlite3.Connection:
    """A connection as all of the store uses them: rows by name, foreign keys kept, no transaction begun."""
    # Opened to read and write but never to make: a file that went away under a running server must not come back empty.
    address = f"{path.absolute().as_uri()}?mode=rw"
    connection = sqlite3.connect(address, uri=True, timeout=_BUSY_S, isolation_level=None)
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = NORMAL")  # safe with WAL: a power cut may lose the last second, never more
    return connection


def migrate(path: Path) -> None:
    """Apply every migration not applied yet, in the order of their names, each in one transaction.

    Raises NewerFileError for a file that a newer version has changed: nothing is touched then.
    """
    with closing(connect(path)) as db:
        db.execute("PRAGMA journal_mode = WAL")
        db.execute("CREATE TABLE IF NOT EXISTS schema_done (name TEXT PRIMARY KEY) STRICT")
        done = {row[0] for row in db.execute("SELECT name FROM schema_done")}
        known = migrations()
        strange = done - {name for name, _ in known}
        if strange:
            raise NewerFileError(path, max(strange))
        for name, sql in (one for one in known if one[0] not in done):
            # One script, one transaction; a second server starting at the same moment waits, then finds it done.
            db.execute("BEGIN IMMEDIATE")
            try:
                if not db.execute("SELECT 1 FROM schema_done WHERE name = ?", (name,)).fetchone():
                    for statement in statements(sql):
                        db.execute(statement)
                    db.execute("INSERT INTO schema_done VALUES (?)", (name,))
                db.execute("COMMIT")
            finally:
                if db.in_transaction:
                    db.execute("ROLLBACK")
