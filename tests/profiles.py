"""How many examples a property test tries: few by default, so that the whole check is quick; ten times as many with
`--thorough`. The few are the same ones each time (a check that fails by luck tells nobody what changed); the many are
drawn afresh. No example has a stopwatch: on a busy machine it may take as long as it likes.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from itertools import product
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

_SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]
settings.register_profile("small", deadline=None, max_examples=25, derandomize=True, suppress_health_check=_SLOW)
settings.register_profile("thorough", deadline=None, max_examples=250, suppress_health_check=_SLOW)


def thorough() -> bool:
    """Was `--thorough` asked for?"""
    return settings.get_current_profile_name() == "thorough"


def examples(count: int) -> settings:
    """For a test whose examples are slow: so many, ten times as many with `--thorough`."""
    return settings(max_examples=count * 10 if thorough() else count)


def crossed(some: Sequence[Any], others: Sequence[Any]) -> list[tuple[Any, Any]]:
    """For a test that is dear with each of two kinds: each of both once at least; each with each with `--thorough`.

    The first of `some` meets the first of `others`: put first what goes wrong together, if anything does.
    """
    if thorough():
        return list(product(some, others))
    return [(some[n % len(some)], others[n % len(others)]) for n in range(max(len(some), len(others)))]


def add_option(parser: pytest.Parser) -> None:
    """For the conftest of tests/ and of e2e/, whichever is asked first."""
    with suppress(ValueError):  # the other one has added it
        parser.addoption("--thorough", action="store_true", help="ten times as many examples, drawn afresh")


def load(config: pytest.Config) -> None:
    """Before any test is collected: how many examples a test has is settled when its file is read."""
    settings.load_profile("thorough" if config.getoption("--thorough") else "small")
