"""The databases that the store is tried on: a file, and a real PostgreSQL server of the tests' own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.databases import drop_postgres, new_postgres, postgres_running


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """Its address; the server is ended after the tests."""
    with postgres_running() as server:
        yield server


@pytest.fixture
def postgres(postgres_server: str) -> Iterator[str]:
    """The address of a new and empty database."""
    address = new_postgres(postgres_server)
    yield address
    drop_postgres(address)


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Path | str:
    """Where a new store may be made, on either engine."""
    if request.param == "sqlite":
        return tmp_path / "deep" / "down" / "s.sqlite3"
    return str(request.getfixturevalue("postgres"))
