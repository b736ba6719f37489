"""The databases that tests are run on: a file each, or with `--postgres` a database each of a real server.

Files of tests are not brought to the disk after every write, which no test can see: the machine is not switched off.
"""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from sqlalchemy import create_engine, make_url, select

from tests.postgres_server import NoServerHereError, PostgresServer
from webapp.machine.settings import Settings
from webapp.store.engines import sqlite
from webapp.store.schema.tables import TABLES
from webapp.store.store import Store

_numbers = itertools.count()
_in_folders: dict[Path, str] = {}  # who opens the same folder again finds what is there
_server: list[str] = []  # the address of the one that is running
_wanted: list[str] = []  # the same where all that tests keep goes there


def not_brought_to_the_disk() -> None:
    """From here on."""
    sqlite._SYNCHRONOUS = "OFF"


@contextmanager
def kept_in_postgres() -> Iterator[None]:
    """What every test keeps from here on."""
    with postgres_running() as server:
        _wanted.append(server)
        try:
            yield
        finally:
            _wanted.clear()


@contextmanager
def postgres_running() -> Iterator[str]:
    """A server of its own; its address. Tests that ask for one are skipped where none can be run."""
    if _server:
        yield _server[0]
        return
    try:
        server = PostgresServer()
    except NoServerHereError as error:
        pytest.skip(f"no PostgreSQL: {error}")
    try:
        server.start()
        _server.append(server.address)
        yield server.address
    finally:
        _server.clear()
        server.close()


def new_postgres(server: str) -> str:
    """The address of a new and empty database there."""
    name = f"t{os.getpid()}_{next(_numbers)}"
    _run(server, f"CREATE DATABASE {name}")
    return make_url(server).set(database=name).render_as_string(hide_password=False)


def drop_postgres(address: str) -> None:
    """It is not needed any more, whoever still has it open."""
    where = make_url(address)
    _run(
        where.set(database="postgres").render_as_string(hide_password=False),
        f"DROP DATABASE {where.database} WITH (FORCE)",
    )


def new_database(folder: Path) -> Path | str:
    """For one test: a file in that folder, or a database where `--postgres` was said."""
    if not _wanted:
        return folder / "suppertide.sqlite3"
    if folder not in _in_folders:
        _in_folders[folder] = new_postgres(_wanted[0])
    return _in_folders[folder]


def new_store(folder: Path) -> Store:
    """For one test, where a file already holds its tables: copying them is quicker than making them anew."""
    where = new_database(folder)
    if isinstance(where, Path) and not where.exists():
        where.parent.mkdir(parents=True, exist_ok=True)
        where.touch(0o600)
        where.write_bytes(_with_tables())
    return Store(where)


@cache
def _with_tables() -> bytes:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "empty.sqlite3"
        Store(path).close()  # whole in the one file
        return path.read_bytes()


@contextmanager
def dropped_after() -> Iterator[None]:
    """The databases of folders that are first asked for from here on: each is some 8 MB."""
    before = set(_in_folders)
    yield
    for folder in set(_in_folders) - before:
        drop_postgres(_in_folders.pop(folder))


def settings_in(folder: Path, **more: Any) -> Settings:
    """Of a server whose data folder is that one."""
    where = new_database(folder)
    return Settings(data=folder, database_server=where if isinstance(where, str) else "", **more)


def everything_in(store: Store) -> str:
    """Every row of every table, as text."""
    with store.reading() as db:
        return "\n".join(repr(tuple(row)) for table in TABLES.sorted_tables for row in db.execute(select(table)))


def _run(server: str, said: str) -> None:
    engine = create_engine(make_url(server).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT")
    with engine.connect() as db:
        db.exec_driver_sql(said)
    engine.dispose()
