"""The embedded default: one file, which any number of processes of this machine may share."""

from __future__ import annotations

import sqlite3
from contextlib import AbstractContextManager, closing
from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event
from sqlalchemy.exc import OperationalError

from webapp.store.schema.errors import EmptyFileError
from webapp.store.schema.numbered import is_up_to_date, make_file, take_over
from webapp.store.schema.up_to_date import bring_up_to_date

_BUSY_S = 5.0  # how long a writer waits for another before it gives up
_SYNCHRONOUS = (
    "FULL"  # what was acknowledged survives a power cut: https://www.sqlite.org/pragma.html#pragma_synchronous
)
_KEPT = 8  # connections that stay open when nobody asks; as many as threads want are opened


def _text_of(value: bytes) -> str:
    """A text of which a disk lost a part is one that cannot be read, not a file that answers nothing."""
    return value.decode("utf-8", "replace")


def connect(path: Path, reads_only: bool = False) -> sqlite3.Connection:
    """A connection as all of the store uses them: foreign keys kept, no transaction begun."""
    # Opened to read and write but never to make: a file that went away under a running server must not come back empty.
    address = f"{path.absolute().as_uri()}?mode=rw"
    db = sqlite3.connect(address, uri=True, timeout=_BUSY_S, isolation_level=None, check_same_thread=False)
    db.text_factory = _text_of
    db.execute("PRAGMA foreign_keys = ON")
    db.execute(f"PRAGMA synchronous = {_SYNCHRONOUS}")
    if reads_only:
        db.execute("PRAGMA query_only = ON")
    return db


class SqliteFile:
    """Connections stay open between transactions, each used by one thread at a time."""

    def __init__(self, path: Path) -> None:
        """Open the file, making it (readable by its owner only) and bringing its tables up to date.

        Raises EmptyFileError for one with nothing in it: a first start has no file, so what was in this one is lost.
        """
        self._path = path
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not path.exists():
            make_file(path)
        elif not path.stat().st_size:
            raise EmptyFileError(path)
        self._writes = self._engine("BEGIN IMMEDIATE", reads_only=False)
        self._reads = self._engine("BEGIN DEFERRED", reads_only=True)
        self._asks = self._reads.execution_options(begin="")
        self._lock, self._seen = Lock(), (0, 0)
        self._bring_up_to_date()

    def writing(self) -> AbstractContextManager[Connection]:
        """One transaction; others that write wait for it."""
        self._look()
        return self._writes.begin()

    def reading(self) -> AbstractContextManager[Connection]:
        """One consistent view, which never waits for a writer; SQLite refuses what would be written."""
        self._look()
        return self._reads.connect()

    def asking(self) -> AbstractContextManager[Connection]:
        """For one question alone, which sees the newest state."""
        self._look()
        return self._asks.connect()

    def hold(self, db: Connection, kitchen_id: str) -> None:
        """Nobody else writes anyhow."""

    def is_in_use(self) -> bool:
        """Whether another connection has the file open, of this process or another: it may not be had alone then
        (https://www.sqlite.org/wal.html#use_of_wal_without_shared_memory)."""
        self.close()
        try:
            with closing(sqlite3.connect(self._path, timeout=0, isolation_level=None)) as db:
                db.execute("PRAGMA locking_mode = EXCLUSIVE")
                db.execute("BEGIN EXCLUSIVE")
                db.execute("ROLLBACK")
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_BUSY:
                return True
            raise OperationalError("asking whether it is in use", None, error) from error
        return False

    def close(self) -> None:
        """Let go of the file, until it is asked again."""
        self._writes.dispose()
        self._reads.dispose()

    def _look(self) -> None:
        """Connections to a file that is no longer the one of that name are given up. An empty one is not touched: what
        they still hold would be written into it when they are closed."""
        now = self._path.stat() if self._path.exists() else None
        if now is not None and not now.st_size:
            raise EmptyFileError(self._path)
        which = (now.st_dev, now.st_ino) if now else (0, 0)
        if which != self._seen:
            with self._lock:
                self._seen = which
                self.close()

    def _engine(self, begin: str, reads_only: bool) -> Engine:
        engine = create_engine(
            "sqlite://",
            creator=lambda: connect(self._path, reads_only),
            poolclass=QueuePool,
            pool_size=_KEPT,
            max_overflow=-1,
            hide_parameters=True,
            execution_options={"begin": begin},
        )
        event.listen(engine, "begin", _begin)
        return engine

    def _bring_up_to_date(self) -> None:
        """A file of a version before Alembic is kept beside itself as it was. Raises NewerFileError."""
        with self._writes.connect() as whole:
            db = whole.connection.driver_connection
            assert isinstance(db, sqlite3.Connection)
            try:
                if is_up_to_date(db, self._path):
                    return
                db.execute("PRAGMA journal_mode = WAL")
                take_over(db, self._path)
            except sqlite3.Error as error:  # spoken to without SQLAlchemy here: who catches knows its errors alone
                raise OperationalError("taking over a file of before", None, error) from error
        with self._writes.begin() as whole:
            bring_up_to_date(whole, self._path)


def _begin(db: Connection) -> None:
    word = db.get_execution_options()["begin"]
    if word:
        db.exec_driver_sql(word)
