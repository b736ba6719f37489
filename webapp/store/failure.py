"""When the file cannot be used: why, in words for its owner, and what to do about it."""

from __future__ import annotations

import sqlite3
from functools import cache
from pathlib import Path

from webapp.store.tables import TABLES

DatabaseError = sqlite3.Error  # whatever the database refuses, for those who catch it and know no database


class NewerFileError(sqlite3.DatabaseError):
    """A newer version of this program has written the file; this one would misread it."""

    def __init__(self, path: Path, strange: str) -> None:
        super().__init__(f"{path} holds {strange}, which this version does not know")


# SQLite's primary result codes, https://www.sqlite.org/rescode.html
_WORDS: dict[int, tuple[str, str]] = {
    sqlite3.SQLITE_BUSY: ("Another program holds the database.", "Try again in a minute."),
    sqlite3.SQLITE_LOCKED: ("Another program holds the database.", "Try again in a minute."),
    sqlite3.SQLITE_FULL: ("The disk of the server is full.", "Make room on it, then try again."),
    sqlite3.SQLITE_READONLY: ("The database may only be read.", "Make its folder and file writable for the server."),
    sqlite3.SQLITE_CANTOPEN: (
        "The database cannot be opened.",
        "See that its folder is there and may be read and written by the server.",
    ),
    sqlite3.SQLITE_PERM: ("The database may not be opened.", "Make its folder and file writable for the server."),
    sqlite3.SQLITE_IOERR: ("The disk of the server fails or is full.", "Make room on it, or see to the disk."),
    sqlite3.SQLITE_CORRUPT: (
        "The database is damaged.",
        "Stop the server, keep a copy of the file, then put back a good copy or start with another --data folder.",
    ),
}
_WORDS[sqlite3.SQLITE_NOTADB] = _WORDS[sqlite3.SQLITE_CORRUPT]
_NEWER = (
    "A newer version of Suppertide has written this database.",
    "Start the newer version again, or use another --data folder.",
)


_EMPTY = (
    "The database is empty: its tables are gone.",
    "Stop the server, then put back a good copy; a start without one begins anew.",
)


@cache
def _our_tables_missing() -> frozenset[str]:
    """What SQLite says when one of our own tables is not there; any other missing table is a fault of the program."""
    ours = {"alembic_version", *TABLES.tables}  # the first notes the change that was made last
    return frozenset(f"no such table: {name}" for name in ours)


def why(error: BaseException) -> tuple[str, str] | None:
    """(what is wrong, the way out); None for what is a fault of the program."""
    if isinstance(error, NewerFileError):
        return _NEWER
    if str(error) in _our_tables_missing():
        return _EMPTY
    code = getattr(error, "sqlite_errorcode", None)
    return _WORDS.get(code & 0xFF) if isinstance(code, int) else None
