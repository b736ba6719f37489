"""Records to plain JSON values and back, and the bundle: all that a phone needs to follow one bake with no connection.

`to_plain` and `from_plain` work for every frozen record of the house: builtin values, tuples and records, nothing
else. Reading is strict where it protects (a wrong type, a number outside of its range in `core/ranges.py`, a missing
value without a default) and lenient where it keeps old files alive (a missing value with a default takes it, an unknown
key is left out), so that a row written by an older version still opens.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from typing import Any, TypeVar

from webapp.core import ranges
from webapp.core.errors import PlanError, Problem
from webapp.core.kitchen import Oven
from webapp.core.plan.event import Event
from webapp.core.plan.oven import OvenPlan
from webapp.core.plan.plan import Plan
from webapp.core.plan.trade import Worse
from webapp.core.ranges import Range

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
    try:
        return typing.cast(Record, _record(typing.cast(Hashable, cls))(data))
    except _Misfit as error:
        place = ".".join([path] * bool(path) + [str(step) for step in reversed(error.path)])
        raise _wrong(place, error.expected) from None


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


def misshapen() -> ShapeError:
    """Of data of which not even the place can be named that is wrong."""
    return _wrong("", "a group of named values")


def _wrong(path: str, expected: str) -> ShapeError:
    return ShapeError(Problem(path or "data", "shape", {"expected": expected}))


class _Misfit(Exception):  # noqa: N818  # an answer on its way up: each level adds where it was
    """A value that is not what should stand there; `path` from the inside out."""

    def __init__(self, expected: str, *path: str | int) -> None:
        self.expected = expected
        self.path = list(path)


_Read = Callable[[Any], Any]


@cache
def _record(cls: Any) -> _Read:
    """What reads a record of this kind. Made once: what a field may hold is asked of its hint and `core/ranges.py`."""
    hints = typing.get_type_hints(cls)
    readers = [
        (one.name, _reader(hints[one.name], ranges.of(cls.__name__, one.name)), not _has_default(one))
        for one in fields(cls)
    ]

    def read(data: object) -> Any:
        if not isinstance(data, Mapping):
            raise _Misfit("a group of named values")
        data = _as_today(cls, data)
        values = {}
        for name, reader, needed in readers:
            if name in data:
                try:
                    values[name] = reader(data[name])
                except _Misfit as error:
                    error.path.append(name)
                    raise
            elif needed:
                raise _Misfit("present", name)
        return cls(**values)

    return read


def _has_default(one: Field[Any]) -> bool:
    return one.default is not MISSING or one.default_factory is not MISSING


def _reader(hint: Any, within: Range | None) -> _Read:
    """What reads a value of that type; each number in it lies `within`."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Literal:
        return _one_of(inner)
    if hint is int:
        return _whole(*(within or ranges.WHOLE))
    if hint is float:
        return _number(*(within or ranges.NUMBER))
    if hint in _PLAIN:
        return _PLAIN[hint]
    if origin in (types.UnionType, typing.Union):
        (option,) = (one for one in inner if one is not types.NoneType)
        return _or_none(_reader(option, within))
    if origin is tuple and len(inner) == 2 and inner[1] is Ellipsis:
        return _list(_reader(inner[0], within))
    if origin is tuple:
        return _row([_reader(one, within) for one in inner])
    return _read_group if origin is dict else _record(hint)


def _one_of(options: tuple[str, ...]) -> _Read:
    known = frozenset(options)

    def read(value: object) -> str:
        if not isinstance(value, str) or value not in known:
            raise _Misfit(f"one of: {', '.join(one for one in options if one)}")
        return value

    return read


def _or_none(reader: _Read) -> _Read:
    return lambda value: None if value is None else reader(value)


def _list(reader: _Read) -> _Read:
    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple):
            raise _Misfit("a list")
        return _each((reader, one) for one in value)

    return read


def _row(readers: list[_Read]) -> _Read:
    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple):
            raise _Misfit("a list")
        if len(value) != len(readers):
            raise _Misfit(f"a list of {len(readers)} values")
        return _each(zip(readers, value, strict=True))

    return read


def _each(values: Iterable[tuple[_Read, Any]]) -> tuple[Any, ...]:
    found: list[Any] = []
    try:
        for reader, one in values:
            found.append(reader(one))
    except _Misfit as error:
        error.path.append(len(found))
        raise
    return tuple(found)


def _whole(least: float, most: float) -> _Read:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise _Misfit("a whole number")
        if not least <= value <= most:
            raise _Misfit(f"a whole number from {least:.17g} to {most:.17g}")
        return value

    return read


def _number(least: float, most: float) -> _Read:
    """NaN and what is infinite lie in no range; of what is nearer to nothing than any sum comes, the square is 0."""

    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise _Misfit("a number")
        if not least <= value <= most or 0 < abs(value) < ranges.LEAST_NUMBER:
            raise _Misfit(f"a number from {least:.10g} to {most:.10g}")
        return float(value)

    return read


def _read_group(value: object) -> dict[str, object]:
    if not isinstance(value, Mapping):
        raise _Misfit("a group of named values")
    return {str(key): one for key, one in value.items()}


def _read_str(value: object) -> str:
    if not isinstance(value, str) or not (value.isascii() or _can_be_written(value)):
        raise _Misfit("text")
    if len(value) > ranges.MOST_JOINED:
        raise _Misfit(f"text of {ranges.MOST_JOINED} letters at most")
    return value


def _can_be_written(value: str) -> bool:
    """Half a character (a lone surrogate) can be read from JSON, and be shown nowhere."""
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _read_bool(value: object) -> bool:
    if not isinstance(value, bool):
        raise _Misfit("true or false")
    return value


def _read_any(value: object) -> object:
    return value


_PLAIN: dict[Any, _Read] = {str: _read_str, bool: _read_bool, object: _read_any, Any: _read_any}
