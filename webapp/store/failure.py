"""When the database cannot be used: why, in words for its owner, and what to do about it."""

from __future__ import annotations

import sqlite3
from functools import cache

from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as AllTakenError

from webapp.store.schema.errors import (
    BadAddressError,
    EmptyFileError,
    FullTargetError,
    InUseError,
    LostRowsError,
    NewerFileError,
    NoDriverError,
)
from webapp.store.schema.tables import TABLES

DatabaseError = SQLAlchemyError  # whatever the database refuses, for those who catch it and know no database

_HELD = ("Another program holds the database.", "Try again in a minute.")
_FULL = ("The disk of the server is full.", "Make room on it, then try again.")
_READ_ONLY = ("The database may only be read.", "Make its folder and file writable for the server.")
# SQLite's primary result codes, https://www.sqlite.org/rescode.html
_WORDS: dict[int, tuple[str, str]] = {
    sqlite3.SQLITE_BUSY: _HELD,
    sqlite3.SQLITE_LOCKED: _HELD,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
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
_AWAY = (
    "The database server does not answer.",
    "See that it runs, and that SUPPERTIDE_DATABASE names it, its user and password rightly.",
)
_NOT_IN = (  # its library does not say which: a connection that was not made has no code
    "The database server does not answer or does not let us in.",
    "See that it runs, and that SUPPERTIDE_DATABASE names it, its database, user and password rightly.",
)
# PostgreSQL's codes, by their beginning: https://www.postgresql.org/docs/current/errcodes-appendix.html
_STATES: dict[str, tuple[str, str]] = {
    "08": _AWAY,
    "28": ("The database server does not let us in.", "Correct user and password in SUPPERTIDE_DATABASE."),
    "3D": ("There is no such database on its server.", "Make it, or correct its name in SUPPERTIDE_DATABASE."),
    "57P": _AWAY,
    "53100": _FULL,
    "53": ("The database server has no room for more.", "Try again in a minute."),
    "40": _HELD,
    "55P03": _HELD,
    "25006": ("The database may only be read.", "Let its user write, or name the server that may be written to."),
    "42501": ("The database may not be used by this user.", "Give its user all rights to this database."),
    "58": ("The disk of the database server fails.", "See to it, then try again."),
    "XX001": ("The database is damaged.", "Stop the server, then put back a good copy."),
}
_NEWER = (
    "A newer version of Suppertide has written this database.",
    "Start the newer version again, or use another --data folder.",
)
_EMPTY = (
    "The database is empty: its tables are gone.",
    "Stop the server, then put back a good copy; a start without one begins anew.",
)
_EMPTY_FILE = (
    "The database is empty: its file has nothing in it.",
    "Stop the server, then put back a good copy; to begin anew, take the empty file away.",
)
_OURS: dict[type[BaseException], tuple[str, str]] = {
    FullTargetError: ("The other database is not empty.", "Nothing was moved. Name an empty one."),
    LostRowsError: ("Not everything arrived in the other database.", "Nothing was kept there. Try again."),
    NoDriverError: (
        "What speaks to PostgreSQL is not installed.",
        "Install it: .venv/bin/python -m pip install 'psycopg[binary]'.",
    ),
    BadAddressError: (
        "The address of the database has something in it that is no setting of a connection.",
        "Correct SUPPERTIDE_DATABASE behind its question mark.",
    ),
    InUseError: (
        "A server or another program has it open; what it is told meanwhile would be lost.",
        "Stop `suppertide serve` and `suppertide background` first. Nothing was moved.",
    ),
    AllTakenError: _HELD,
    NewerFileError: _NEWER,
    EmptyFileError: _EMPTY_FILE,
}


@cache
def _our_tables_missing() -> frozenset[str]:
    """What SQLite and PostgreSQL say when one of our own tables is not there; any other missing table is a fault of the
    program."""
    ours = {"alembic_version", *TABLES.tables}  # the first notes the change that was made last
    return frozenset(said for name in ours for said in (f"no such table: {name}", f'relation "{name}" does not exist'))


def why(error: BaseException) -> tuple[str, str] | None:
    """(what is wrong, the way out); None for what is a fault of the program."""
    if type(error) in _OURS:
        return _OURS[type(error)]
    return _said_by(error.orig) if isinstance(error, DBAPIError) and error.orig else _said_by(error)


def _said_by(error: BaseException) -> tuple[str, str] | None:
    """Of what the database's own library raised."""
    if str(error).partition("\n")[0] in _our_tables_missing():
        return _EMPTY
    code = getattr(error, "sqlite_errorcode", None)
    if isinstance(code, int):
        return _WORDS.get(code & 0xFF)
    return _said_by_postgres(error)


def _said_by_postgres(error: BaseException) -> tuple[str, str] | None:
    if not hasattr(error, "sqlstate"):
        return None
    if error.sqlstate is None:  # said by no server: there was none to say it
        return _NOT_IN if type(error).__name__ == "OperationalError" else None
    return next((words for begins, words in _STATES.items() if error.sqlstate.startswith(begins)), None)
