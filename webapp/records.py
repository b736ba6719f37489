"""Records to plain JSON values and back, and the bundle: all that a phone needs to follow one bake with no connection.

`to_plain` and `from_plain` work for every frozen record of the house: builtin values, tuples and records, nothing
else. Reading is strict where it protects (a wrong type, NaN, a missing value without a default) and lenient where it
keeps old files alive (a missing value with a default takes it, an unknown key is left out), so that a row written by
an older version still opens.
"""

from __future__ import annotations

import math
import types
import typing
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from typing import Any, TypeVar

from webapp.core.errors import PlanError, Problem
from webapp.core.kitchen import Oven
from webapp.core.plan.event import Event
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.trade import Worse

SCHEMA = 1

Record = TypeVar("Record")


class ShapeError(PlanError):
    """The data does not have the shape of the record; `field` is the path to the value ("steps.3.start")."""


def to_plain(value: Any) -> Any:
    """A record as dicts, lists and plain values, ready for `json.dumps`; a tuple becomes a list."""
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: to_plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, tuple | list):
        return [to_plain(one) for one in value]
    if isinstance(value, Mapping):
        return {str(key): to_plain(one) for key, one in value.items()}
    return value


def from_plain(cls: type[Record], data: object, path: str = "") -> Record:
    """The record that `to_plain` took apart; raises `ShapeError` naming the path of the first value that is wrong."""
    if not isinstance(data, Mapping):
        raise _wrong(path, "a group of named values")
    data = _as_today(cls, data)
    hints = _hints(typing.cast(Hashable, cls))
    known = {one.name: one for one in fields(cls)}  # type: ignore[arg-type]  # callers hand in a dataclass
    values = {
        name: _read(hints[name], data[name], f"{path}.{name}" if path else name) for name in known if name in data
    }
    missing = [name for name, one in known.items() if name not in data and not _has_default(one)]
    if missing:
        raise _wrong(f"{path}.{missing[0]}" if path else missing[0], "present")
    return cls(**values)


def bundle(plan: Plan, events: Iterable[Event], served_at: int) -> dict[str, Any]:
    """What `GET /api/bakes/<id>/bundle` answers: the plan, its journal, and the server's clock for comparison."""
    return {
        "schema": SCHEMA,
        "plan": to_plain(plan),
        "events": [to_plain(event) for event in events],
        "served_at": served_at,
    }


def _as_today(cls: type[Any], data: Mapping[str, Any]) -> Mapping[str, Any]:
    """What an older version wrote, by today's names: an oven's function was a fan that was on or not, and what a task
    at the side costs was called beside. What plans of before facts only said: `words/stored_plans.py`."""
    if cls in (Oven, OvenPlan) and "function" not in data and isinstance(data.get("fan"), bool):
        return {**data, "function": "fan" if data["fan"] else "still"}
    if cls is Worse and data.get("key") == "beside":
        return {**data, "key": "side-task"}
    return data


@cache
def _hints(cls: Hashable) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _has_default(one: Field[Any]) -> bool:
    return one.default is not MISSING or one.default_factory is not MISSING


def misshapen() -> ShapeError:
    """Of data of which not even the place can be named that is wrong."""
    return _wrong("", "a group of named values")


def _wrong(path: str, expected: str) -> ShapeError:
    return ShapeError(Problem(path or "data", "shape", {"expected": expected}))


def _read(hint: Any, value: object, path: str) -> Any:
    origin = typing.get_origin(hint)
    if origin is typing.Literal:
        return _read_one_of(typing.get_args(hint), value, path)
    if hint in _PLAIN:
        return _PLAIN[hint](value, path)
    if origin in (types.UnionType, typing.Union):
        return _read_union(typing.get_args(hint), value, path)
    if origin is tuple:
        return _read_tuple(typing.get_args(hint), value, path)
    if origin is dict:
        return _read_dict(value, path)
    return from_plain(hint, value, path)


def _read_one_of(options: tuple[Any, ...], value: object, path: str) -> Any:
    if value not in options or not isinstance(value, str):
        raise _wrong(path, f"one of: {', '.join(one for one in options if one)}")
    return value


def _read_union(options: tuple[Any, ...], value: object, path: str) -> Any:
    if value is None and types.NoneType in options:
        return None
    (option,) = (one for one in options if one is not types.NoneType)
    return _read(option, value, path)


def _read_tuple(inner: tuple[Any, ...], value: object, path: str) -> tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        raise _wrong(path, "a list")
    if len(inner) == 2 and inner[1] is Ellipsis:
        return tuple(_read(inner[0], one, f"{path}.{i}") for i, one in enumerate(value))
    if len(inner) != len(value):
        raise _wrong(path, f"a list of {len(inner)} values")
    return tuple(_read(hint, one, f"{path}.{i}") for i, (hint, one) in enumerate(zip(inner, value, strict=True)))


def _read_dict(value: object, path: str) -> dict[str, object]:
    if not isinstance(value, Mapping):
        raise _wrong(path, "a group of named values")
    return {str(key): one for key, one in value.items()}


def _read_str(value: object, path: str) -> str:
    if not isinstance(value, str) or not (value.isascii() or _can_be_written(value)):
        raise _wrong(path, "text")
    return value


def _can_be_written(value: str) -> bool:
    """Half a character (a lone surrogate) can be read from JSON, and be shown nowhere."""
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _read_bool(value: object, path: str) -> bool:
    if not isinstance(value, bool):
        raise _wrong(path, "true or false")
    return value


def _read_int(value: object, path: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _wrong(path, "a whole number")
    return value


def _read_float(value: object, path: str) -> float:
    try:
        if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
            return float(value)
    except OverflowError:  # an int of more than 308 digits
        pass
    raise _wrong(path, "a number")


def _read_any(value: object, path: str) -> object:
    del path  # anything goes
    return value


_PLAIN: dict[Any, Any] = {
    str: _read_str,
    bool: _read_bool,
    int: _read_int,
    float: _read_float,
    object: _read_any,
    Any: _read_any,
}
