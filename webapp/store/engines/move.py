"""Everything from one database into another, whichever engines they are."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import Connection, Table, func, select

from webapp.store.engines.choose import Database, opened
from webapp.store.engines.postgresql import number_on_from
from webapp.store.schema.errors import FullTargetError, LostRowsError
from webapp.store.schema.tables import TABLES

_AT_ONCE = 500  # rows in memory together
_LEFT_BEHIND = {"claims"}  # of processes that work on the database of before


def move(here: Path | str, to: Path | str) -> dict[str, int]:
    """Copy all rows; how many of each table were read here, and are there now. Nothing here is changed; there it is all
    or nothing. Raises FullTargetError when anything is there, LostRowsError when the numbers differ."""
    source, target = opened(here), opened(to)
    try:
        return _moved(source, target, to)
    finally:
        source.close()
        target.close()


def _moved(source: Database, target: Database, to: Path | str) -> dict[str, int]:
    tables = [one for one in TABLES.sorted_tables if one.name not in _LEFT_BEHIND]
    with source.reading() as old, target.writing() as new:
        full = [one.name for one in tables if _count(new, one)]
        if full:
            raise FullTargetError(to, full[0])
        for table in tables:
            for rows in _in_parts(old, table):
                new.execute(table.insert(), rows)
        number_on_from(new)
        moved = {one.name: _count(old, one) for one in tables}
        wrong = [name for name, count in moved.items() if count != _count(new, TABLES.tables[name])]
        if wrong:
            raise LostRowsError(to, wrong[0])
    return moved


def _count(db: Connection, table: Table) -> int:
    return db.execute(select(func.count()).select_from(table)).scalar() or 0


def _in_parts(db: Connection, table: Table) -> Iterator[list[dict[str, object]]]:
    found = db.execute(select(table), execution_options={"yield_per": _AT_ONCE})
    for part in found.mappings().partitions():
        yield [dict(row) for row in part]
