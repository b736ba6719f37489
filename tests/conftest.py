"""For every test: few examples or, with `--thorough`, many (see profiles.py)."""

from __future__ import annotations

import pytest
from hypothesis import settings

import tests.profiles  # noqa: F401  # registers both profiles


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--thorough", action="store_true", help="ten times as many examples in property tests")


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("thorough" if config.getoption("--thorough") else "small")
