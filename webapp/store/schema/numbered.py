"""How SQLite files begin: new ones, and those of before Alembic, kept as a copy and then brought up to the scripts."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from webapp.store.schema.errors import NewerFileError
from webapp.store.schema.scripts import migrations, statements
from webapp.store.schema.up_to_date import revisions

# Who keeps a list of what was done, and how it is asked.
_LISTS = {"schema_done": "SELECT name FROM schema_done", "alembic_version": "SELECT version_num FROM alembic_version"}


def make_file(path: Path) -> None:
    """A new file with the first page of a database in it, never seen empty: another process may start at this moment.
    Where it was quicker its file stays."""
    handle, half = tempfile.mkstemp(dir=path.parent, prefix=f"{path.name}.half-")  # readable by its owner alone
    os.close(handle)
    try:
        with closing(sqlite3.connect(half, isolation_level=None)) as db:
            db.execute("PRAGMA journal_mode = WAL")  # writes that page
        os.link(half, path)
    except FileExistsError:
        pass
    except OSError:  # no second names on this file system (FAT)
        if not path.exists():
            Path(half).rename(path)
    finally:
        Path(half).unlink(missing_ok=True)


def is_up_to_date(db: sqlite3.Connection, path: Path) -> bool:
    """Whether nothing is to be done. Raises NewerFileError for a file that a newer version has changed."""
    tables = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE name IN (?, ?)", tuple(_LISTS))}
    done = {row[0] for table in tables for row in db.execute(_LISTS[table])}
    strange = done - {name for name, _ in migrations()} - set(revisions())
    if strange:
        raise NewerFileError(path, max(strange))
    return revisions()[-1] in done and "alembic_version" in tables


def take_over(db: sqlite3.Connection, path: Path) -> None:
    """Nothing for a new file. A file of before is kept beside itself as it was."""
    if not db.execute("SELECT 1 FROM sqlite_master WHERE name = 'schema_done'").fetchone():
        return
    keep(db, kept_beside(path))
    for name, sql in migrations():
        _run(db, name, sql)


def kept_beside(path: Path) -> Path:
    """Where the file of before stays."""
    return path.with_name(f"{path.name}.before-{revisions()[0]}")


def keep(db: sqlite3.Connection, copy: Path) -> None:
    """A whole copy, readable by its owner alone; one that is there is the older, and stays."""
    if copy.exists():
        return
    handle, half = tempfile.mkstemp(dir=copy.parent, prefix=copy.name)  # made readable by its owner alone
    os.close(handle)
    try:
        with closing(sqlite3.connect(half)) as other:
            db.backup(other)
        Path(half).replace(copy)
    finally:
        Path(half).unlink(missing_ok=True)  # a half one would take the room that was missing


def _run(db: sqlite3.Connection, name: str, sql: str) -> None:
    """One script, one transaction; a second server starting at the same moment waits, then finds it done."""
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
