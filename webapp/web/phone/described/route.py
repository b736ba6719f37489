"""What one JSON route takes, gives and fails with: said at the route itself, so that a new one is not forgotten."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from marshmallow import Schema, fields

from webapp.web.phone.described.shapes import AnswerShape

View = TypeVar("View", bound=Callable[..., Any])
_AT = "described"  # kept in the view's own dict, which whatever wraps a view carries on


@dataclass(frozen=True)
class Route:
    """Schemas of the body that comes and of the answer with status 200; statuses of what can go wrong besides."""

    gives: type[Schema]
    takes: type[Schema] | None
    fails: tuple[int, ...]
    for_anybody: bool  # no kitchen is needed
    also: Mapping[int, type[Schema]]  # of a status: what it may hold instead of a failure's shape
    one_of: Mapping[type[Schema], tuple[type[Schema], ...]]  # of a schema inside what comes: it is one of these


@dataclass(frozen=True)
class Address:
    """One address of the app: its pattern ("/api/bakes/<bake_id>/events"), its own name, what answers it."""

    pattern: str
    name: str
    methods: frozenset[str]
    view: Callable[..., Any]


class Fault(AnswerShape):
    """One thing that is wrong, at one field."""

    field = fields.String(required=True)
    message = fields.String(required=True)
    way_out = fields.String(required=True)


class Failure(AnswerShape):
    """What every failure of the JSON API answers: the first thing that is wrong, and all of them."""

    error = fields.Nested(Fault, required=True)
    errors = fields.List(fields.Nested(Fault), required=True)


def described(
    gives: type[Schema],
    takes: type[Schema] | None = None,
    fails: tuple[int, ...] = (),
    for_anybody: bool = False,
    also: Mapping[int, type[Schema]] | None = None,
    one_of: Mapping[type[Schema], tuple[type[Schema], ...]] | None = None,
) -> Callable[[View], View]:
    """Say so of a view; its docstring becomes the summary."""

    def say(view: View) -> View:
        view.__dict__[_AT] = Route(gives, takes, fails, for_anybody, also or {}, one_of or {})
        return view

    return say


def route_of(view: Callable[..., Any]) -> Route | None:
    """What was said of a view; None for a page."""
    return view.__dict__.get(_AT)
