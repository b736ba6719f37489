"""Apps by the thousand: what each new one would work out again, though it is the same every time, is worked out once.

The app of a test is new, with a database of its own. But how the addresses of its routes are built is most of the work
of making one, and putting its questions into SQL a tenth of a test that plans: both are the same for all apps.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import sqlalchemy
from sqlalchemy import Dialect, Engine
from werkzeug.routing import Rule

from webapp.store.engines import sqlite

_builders: dict[tuple[Any, ...], Callable[..., tuple[str, str]]] = {}
_in_sql: list[tuple[Dialect, Any]] = []
_compile_builder = Rule._compile_builder


def _builder(rule: Rule, append_unknown: bool = True) -> Callable[..., tuple[str, str]]:
    """What Werkzeug compiles for a route: a function of its text alone, which whoever asks binds to the route."""
    if rule.defaults:  # made of them, too
        return _compile_builder(rule, append_unknown)
    key = (rule.rule, append_unknown, tuple(rule._trace))
    if key not in _builders:
        _builders[key] = _compile_builder(rule, append_unknown)
    return _builders[key]


def _engine(*asked: Any, **more: Any) -> Engine:
    """A new engine that knows in SQL what any before it was asked: statements are kept by dialect, one for each."""
    engine = sqlalchemy.create_engine(*asked, **more)
    _in_sql[:] = _in_sql or [(engine.dialect, engine._compiled_cache)]
    engine.dialect, engine._compiled_cache = _in_sql[0]
    return engine


def made_quickly() -> None:
    """Every app from here on."""
    Rule._compile_builder = _builder  # type: ignore[method-assign]
    sqlite.create_engine = _engine
