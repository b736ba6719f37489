"""The numbered SQL files in `migrations/`, as they are applied one after the other."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from importlib import resources


def migrations() -> list[tuple[str, str]]:
    """(file name, SQL) of every migration, in order."""
    folder = resources.files("webapp.store.schema") / "migrations"
    files = sorted((one for one in folder.iterdir() if one.name.endswith(".sql")), key=lambda one: one.name)
    return [(one.name, one.read_text(encoding="utf-8")) for one in files]


def statements(sql: str) -> Iterator[str]:
    """The statements of a script, split where SQLite itself says one is complete."""
    pending = ""
    for line in sql.splitlines(keepends=True):
        pending += line
        if sqlite3.complete_statement(pending):
            yield pending
            pending = ""
    assert not pending.strip() or pending.lstrip().startswith("--"), f"unfinished statement: {pending[:60]}"
