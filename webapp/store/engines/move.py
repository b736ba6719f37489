"""Everything from one database into another, whichever engines they are."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from sqlalchemy import Connection, Table, func, select
from sqlalchemy.exc import SQLAlchemyError

from webapp.store.engines.choose import Database, opened
from webapp.store.engines.postgresql import number_on_from
from webapp.store.schema.errors import FullTargetError, InUseError, LostRowsError
from webapp.store.schema.tables import TABLES

_AT_ONCE = 500  # rows in memory together
_LEFT_BEHIND = {"claims"}  # of processes that work on the database of before


class OneSideError(Exception):
    """What went wrong with one of the two databases; `there`: with the one that all is moved to."""

    def __init__(self, there: bool, what: SQLAlchemyError | OSError) -> None:
        super().__init__("there" if there else "here")
        self.there = there
        self.what = what


def move(here: Path | str, to: Path | str) -> dict[str, int]:
    """Copy all rows; how many of each table were read here, and are there now. Nothing here is changed; there it is all
    or nothing. Raises OneSideError: because of InUseError when a server works here, of FullTargetError when anything is
    there, of LostRowsError when the numbers differ, of whatever else a database raises."""
    with ExitStack() as both:
        with _side(there=False):
            source = opened(here)
            both.callback(source.close)
            if source.is_in_use():
                raise InUseError
        with _side(there=True):
            target = opened(to)
            both.callback(target.close)
            return _moved(source, target, to)


@contextmanager
def _side(there: bool) -> Iterator[None]:
    """What goes wrong within is of that database."""
    try:
        yield
    except (SQLAlchemyError, OSError) as error:
        raise OneSideError(there, error) from error


def _moved(source: Database, target: Database, to: Path | str) -> dict[str, int]:
    tables = [one for one in TABLES.sorted_tables if one.name not in _LEFT_BEHIND]
    with ExitStack() as both:
        with _side(there=False):
            old = both.enter_context(source.reading())
        new = both.enter_context(target.writing())
        full = [one.name for one in tables if _count(new, one)]
        if full:
            raise FullTargetError(to, full[0])
        for table in tables:
            for rows in _in_parts(old, table):
                new.execute(table.insert(), rows)
        number_on_from(new)
        with _side(there=False):
            moved = {one.name: _count(old, one) for one in tables}
        wrong = [name for name, count in moved.items() if count != _count(new, TABLES.tables[name])]
        if wrong:
            raise LostRowsError(to, wrong[0])
    return moved


def _count(db: Connection, table: Table) -> int:
    return db.execute(select(func.count()).select_from(table)).scalar() or 0


def _in_parts(db: Connection, table: Table) -> Iterator[list[dict[str, object]]]:
    with _side(there=False):
        found = db.execute(select(table), execution_options={"yield_per": _AT_ONCE})
        parts = found.mappings().partitions()
    while True:
        with _side(there=False):
            part = next(parts, None)
        if part is None:
            return
        yield [dict(row) for row in part]
