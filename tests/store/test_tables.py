"""The tables written for both engines are those that the numbered scripts make; both engines take them."""

from __future__ import annotations

import gzip
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from webapp.store.base import migrate
from webapp.store.tables import TABLES

_OF_TODAY = Path(__file__).parent / "folders" / "numbered_scripts.sqlite3.gz"
_NOT_OURS = ("schema_done",)  # the scripts' own list of what ran


def shape(path: Path, table: str) -> dict[str, list[tuple[object, ...]]]:
    """Columns, foreign keys and what is unique or sought by, as SQLite itself tells them."""
    with closing(sqlite3.connect(path)) as db:
        columns = db.execute(f"PRAGMA table_info({table})").fetchall()
        foreign = db.execute(f"PRAGMA foreign_key_list({table})").fetchall()
        strict = db.execute("SELECT strict FROM pragma_table_list WHERE name = ?", (table,)).fetchall()
        indexes = [
            (kind, unique, *(name for _, _, name in db.execute(f"PRAGMA index_info({index})")))
            for _, index, unique, kind, _ in db.execute(f"PRAGMA index_list({table})")
        ]
    # A column of several that are the key may be told in another order; a reference without a column is to the key.
    return {
        "columns": sorted((name, of, never, otherwise, key) for _, name, of, never, otherwise, key in columns),
        "foreign": sorted((to, mine, "CASCADE") for _, _, to, mine, _, _, gone, _ in foreign if gone == "CASCADE"),
        "strict": strict,
        "indexes": sorted(indexes),
    }


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A file made by the numbered scripts, and one made from the tables."""
    scripts, ours = (tmp_path_factory.mktemp("both") / name for name in ("scripts.sqlite3", "ours.sqlite3"))
    scripts.touch()
    migrate(scripts)
    engine = create_engine(f"sqlite:///{ours}")
    TABLES.create_all(engine)
    engine.dispose()
    return scripts, ours


@pytest.mark.parametrize("table", sorted(TABLES.tables))
def test_a_table_is_what_the_numbered_scripts_make(both: tuple[Path, Path], table: str) -> None:
    scripts, ours = both
    assert shape(ours, table) == shape(scripts, table)


def test_no_table_of_the_numbered_scripts_is_forgotten(both: tuple[Path, Path]) -> None:
    with closing(sqlite3.connect(both[0])) as db:
        made = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert made - set(_NOT_OURS) == set(TABLES.tables)


@pytest.mark.parametrize("table", sorted(TABLES.tables))
def test_a_number_has_64_bits_in_postgresql_too(table: str) -> None:
    made = str(CreateTable(TABLES.tables[table]).compile(dialect=postgresql.dialect()))
    assert " INTEGER" not in made  # 32 bits there: https://www.postgresql.org/docs/current/datatype-numeric.html


def test_a_folder_of_before_holds_something_in_every_table(tmp_path: Path) -> None:
    """For the take-over: a table that is empty there would prove nothing."""
    path = tmp_path / "suppertide.sqlite3"
    path.write_bytes(gzip.decompress(_OF_TODAY.read_bytes()))
    with closing(sqlite3.connect(path)) as db:
        empty = [one for one in TABLES.tables if not db.execute(f"SELECT 1 FROM {one} LIMIT 1").fetchone()]
    assert not empty
