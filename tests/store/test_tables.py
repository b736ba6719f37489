"""The tables written for both engines are those that the numbered scripts make; both engines take them."""

from __future__ import annotations

import gzip
import json
import sqlite3
import stat
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, create_engine, make_url, text
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable
from sqlalchemy.types import TypeEngine

from webapp.store.engines import sqlite
from webapp.store.failure import DatabaseError, why
from webapp.store.schema import numbered
from webapp.store.schema.errors import NewerFileError
from webapp.store.schema.numbered import kept_beside
from webapp.store.schema.tables import TABLES
from webapp.store.schema.up_to_date import bring_up_to_date, noted, revisions
from webapp.store.store import Store

_OF_TODAY = Path(__file__).parent / "folders" / "numbered_scripts.sqlite3.gz"
# SQLite numbers such a key when it is given none, so its column "may" be empty; in PostgreSQL no key may.
_NUMBERED_BY_ITSELF = ("modify_nullable", None, "left_calendars", "left_id")
_PLACE = ("place", "INTEGER", 1, "0", 0)
_SORTED = ("bakes", "phones", "push_subscriptions", "push_due")
_COLUMNS_SINCE: dict[str, tuple[tuple[object, ...], ...]] = {
    **dict.fromkeys(_SORTED, (_PLACE,)),
    "plans": (("formula_name", "TEXT", 1, "''", 0), ("zone", "TEXT", 1, "'UTC'", 0)),
}
_NEW = {"claims"}
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


@pytest.mark.parametrize("table", sorted(set(TABLES.tables) - _NEW))
def test_a_table_is_what_the_numbered_scripts_make_but_for_what_came_since(files: dict[str, Path], table: str) -> None:
    ours, theirs = shape(files["ours"], table), shape(files["scripts"], table)
    ours["columns"] = [one for one in ours["columns"] if one not in _COLUMNS_SINCE.get(table, ())]
    assert ours == theirs


@pytest.mark.parametrize("made", ["new", "taken over"])
@pytest.mark.parametrize("table", sorted(TABLES.tables))
def test_a_table_is_the_same_however_the_file_came_by_it(files: dict[str, Path], table: str, made: str) -> None:
    assert shape(files[made], table) == shape(files["ours"], table)


@pytest.mark.parametrize("made", ["scripts", "new", "taken over"])
def test_no_table_is_forgotten(files: dict[str, Path], made: str) -> None:
    assert names_in(files[made], "table") - _NOT_OURS == set(TABLES.tables) - (_NEW if made == "scripts" else set())


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
        return {
            one: sorted(db.execute(f"SELECT {columns_of_before(one)} FROM {one}"), key=repr)
            for one in set(TABLES.tables) - _NEW
        }


def columns_of_before(table: str) -> str:
    since = {column[0] for column in _COLUMNS_SINCE.get(table, ())}
    return ", ".join(column.name for column in TABLES.tables[table].columns if column.name not in since)


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


def test_what_came_since_is_filled_from_what_was_there(files: dict[str, Path]) -> None:
    """Sorted as SQLite's own numbers of rows had sorted them; a plan's name and zone are those that it says."""
    with closing(sqlite3.connect(files["scripts"])) as db:
        places = {one: db.execute(f"SELECT rowid FROM {one} ORDER BY rowid").fetchall() for one in _SORTED}
        said = [(plan["formula_name"], plan["zone"]) for (text,) in db.execute("SELECT plan FROM plans ORDER BY rowid")
                for plan in (json.loads(text),)]  # fmt: skip
    with closing(sqlite3.connect(files["taken over"])) as db:
        assert {one: db.execute(f"SELECT place FROM {one} ORDER BY place").fetchall() for one in _SORTED} == places
        assert db.execute("SELECT formula_name, zone FROM plans ORDER BY rowid").fetchall() == said
    assert all(name for name, _ in said)


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
        cut.setattr("webapp.store.engines.sqlite.bring_up_to_date", cut_short)
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


def at_rest(path: Path) -> set[str]:
    """What may lie in a folder whose file was taken over: no half copy."""
    return {path.name, f"{path.name}-wal", f"{path.name}-shm", kept_beside(path).name}


@pytest.mark.parametrize("where", ["_run", "keep"])
def test_a_take_over_that_the_disk_has_no_room_for_is_said_and_leaves_no_half_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    """A file with as many pages as it may have answers SQLITE_FULL (sqlite.org, rescode), as a full disk does."""
    path = file_of_before(tmp_path)
    before = rows_in(path)

    def full(*_: object) -> None:
        with closing(sqlite3.connect(tmp_path / "other", isolation_level=None)) as other:
            other.execute("PRAGMA max_page_count = 2")
            other.execute("CREATE TABLE big (it)")
            other.execute("INSERT INTO big VALUES (zeroblob(100000))")

    monkeypatch.setattr(numbered, where, full)
    with pytest.raises(DatabaseError) as raised:
        Store(path)
    assert why(raised.value) == ("The disk of the server is full.", "Make room on it, then try again.")
    monkeypatch.undo()
    Store(path)
    assert rows_in(path) == before
    assert {one.name for one in tmp_path.iterdir()} - {"other"} <= at_rest(path)


def test_a_file_of_before_that_another_program_holds_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = file_of_before(tmp_path)
    monkeypatch.setattr(sqlite, "_BUSY_S", 0.1)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("BEGIN EXCLUSIVE")
        with pytest.raises(DatabaseError) as raised:
            Store(path)
        assert why(raised.value) == ("Another program holds the database.", "Try again in a minute.")
    Store(path)
    assert {one.name for one in tmp_path.iterdir()} <= at_rest(path)


def test_two_that_start_at_once_on_a_file_of_before_take_it_over_once(tmp_path: Path) -> None:
    path = file_of_before(tmp_path)
    before, failed = rows_in(path), []

    def start() -> None:
        try:
            Store(path)
        except DatabaseError as error:
            failed.append(error)

    threads = [threading.Thread(target=start) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert not failed
    assert rows_in(path) == before


def test_postgresql_has_the_same_tables_whether_made_at_once_or_change_by_change(postgres: str) -> None:
    engine = create_engine(make_url(postgres).set(drivername="postgresql+psycopg"))
    with engine.begin() as db:
        db.execute(text("CREATE TABLE somebody_elses (a TEXT)"))  # so that it is not new
        bring_up_to_date(db, postgres)
        assert differing(db) == []
        TABLES.drop_all(db)
        db.execute(text("DROP TABLE somebody_elses"))
        db.execute(text("DROP TABLE alembic_version"))
        bring_up_to_date(db, postgres)
        assert differing(db) == []
        bring_up_to_date(db, postgres)
        assert noted(db) == revisions()[-1]
    engine.dispose()


def said(of_column: TypeEngine[object]) -> str:
    """A type as PostgreSQL is told of it."""
    return str(of_column.compile(dialect=postgresql.dialect()))


def differing(db: Connection) -> list[object]:
    """What is not as the tables are told."""
    opts = {
        "compare_server_default": True,
        "compare_type": lambda _, __, ___, there, told: said(there) != said(told),
        "include_name": lambda name, *_: name != "somebody_elses",
    }
    compared = MigrationContext.configure(db, opts=opts)
    return [one for one in compare_metadata(compared, TABLES) if tuple(one[0][:4]) != _NUMBERED_BY_ITSELF]


def test_two_servers_that_start_at_once_on_a_new_database_make_its_tables_once(postgres: str) -> None:
    with ThreadPoolExecutor(4) as at_once:
        stores = list(at_once.map(Store, [postgres] * 4))
    assert all(one.check() for one in stores)
    for one in stores:
        one.close()


def test_postgresql_of_a_newer_version_is_refused(postgres: str) -> None:
    store = Store(postgres)
    with store.transaction() as db:
        db.exec_driver_sql("UPDATE alembic_version SET version_num = '9999_x'")
    store.close()
    with pytest.raises(NewerFileError, match="9999_x"):
        Store(postgres)
