"""For every test: few examples or, with `--thorough`, many (see tests/profiles.py)."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests import databases, profiles


def pytest_addoption(parser: pytest.Parser) -> None:
    profiles.add_option(parser)
    parser.addoption("--postgres", action="store_true", help="keep what pages and use cases keep in PostgreSQL")


def pytest_configure(config: pytest.Config) -> None:
    profiles.load(config)
    databases.not_brought_to_the_disk()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--postgres"):
        for item in items:
            if item.get_closest_marker("of_a_file"):
                item.add_marker(pytest.mark.skip(reason="of the SQLite file alone"))


@pytest.fixture(scope="session", autouse=True)
def postgres_if_wanted(pytestconfig: pytest.Config) -> Iterator[None]:
    """Where `--postgres` was said."""
    if not pytestconfig.getoption("--postgres"):
        yield
        return
    with databases.kept_in_postgres():
        yield


@pytest.fixture(autouse=True)
def no_database_is_left() -> Iterator[None]:
    """Of this test; those of fixtures that several tests share stay."""
    with databases.dropped_after():
        yield
