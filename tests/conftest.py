"""For every test: few examples or, with `--thorough`, many (see tests/profiles.py)."""

from __future__ import annotations

import pytest

from tests import profiles


def pytest_addoption(parser: pytest.Parser) -> None:
    profiles.add_option(parser)


def pytest_configure(config: pytest.Config) -> None:
    profiles.load(config)
