"""Apps by the thousand: what each new one would work out again, though it is the same every time, is worked out once.

The app of a test is new, with a database of its own. But how the addresses of its routes are built is most of the work
of making one, and putting its questions into SQL a tenth of a test that plans: both are the same for all apps. So is
what the planner answers to one question, in however many of them it is asked; the bake's id is all that differs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from types import SimpleNamespace
from typing import Any

import sqlalchemy
from sqlalchemy import Dialect, Engine
from werkzeug.routing import Rule

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen, Wish
from webapp.core.plan.plan import Plan
from webapp.planning import kept_part
from webapp.planning.question import NOTHING_BOOKED, Booked, Stock
from webapp.planning.remembered import _choices
from webapp.store.engines import sqlite
from webapp.web import app

_builders: dict[tuple[Any, ...], Callable[..., tuple[str, str]]] = {}
_in_sql: list[tuple[Dialect, Any]] = []
_answers: dict[tuple[Any, ...], Any] = {}
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


def _answered(asked: Callable[..., Any], *question: Any) -> Any:
    """What that planner says to that question, the shelf and what is booked last of it; a refusal is an answer too."""
    *first, stock, busy = question
    key = (asked, *first, _choices(stock), busy)
    if key not in _answers:
        try:
            _answers[key] = asked(*question)
        except PlanError as refused:
            _answers[key] = refused
    if isinstance(_answers[key], PlanError):
        raise _answers[key].with_traceback(None)
    return _answers[key]


def _plans(
    wish: Wish, kitchen: Kitchen, now: int, bake_id: str, stock: Stock, busy: Booked = NOTHING_BOOKED
) -> tuple[Plan, ...]:
    """The planner behind an app for which no other was given."""
    plans = _answered(_unnamed, wish, kitchen, now, stock, busy)
    return tuple(replace(plan, bake_id=bake_id) for plan in plans)


def _unnamed(wish: Wish, kitchen: Kitchen, now: int, stock: Stock, busy: Booked) -> tuple[Plan, ...]:
    return kept_part.plans_with_kept(wish, kitchen, now, "", stock, busy)


def made_quickly() -> None:
    """Every app from here on."""
    app.kept_part = SimpleNamespace(  # type: ignore[attr-defined]
        plans_with_kept=_plans, first_with_kept=partial(_answered, kept_part.first_with_kept)
    )
    app.plan_week = partial(_answered, app.plan_week)  # type: ignore[attr-defined]
    Rule._compile_builder = _builder  # type: ignore[method-assign]
    sqlite.create_engine = _engine
