"""Records as the schema that their plain values have (`to_plain` in webapp/records.py): for answers that hold one."""

from __future__ import annotations

import types
import typing
from collections.abc import Hashable
from dataclasses import fields as fields_of
from dataclasses import is_dataclass
from functools import cache
from typing import Any, cast

from marshmallow import RAISE, Schema, fields, validate

_PLAIN: dict[Any, type[fields.Field[Any]]] = {str: fields.String, bool: fields.Boolean, float: fields.Float}


class AnswerShape(Schema):
    """An answer: it holds what is said here and nothing else."""

    class Meta:
        unknown = RAISE


@cache
def schema_of(record: Hashable) -> type[AnswerShape]:
    """A schema of a frozen record, each of its values required; raises TypeError for what no record of ours holds."""
    cls = cast(type[Any], record)
    hints = typing.get_type_hints(cls)
    parts = {one.name: _field(hints[one.name]) for one in fields_of(cls)}
    return cast(type[AnswerShape], AnswerShape.from_dict(parts, name=cls.__name__))


def _field(hint: Any, **how: Any) -> fields.Field[Any]:
    how = {"required": True} | how
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        (only,) = (one for one in inner if one is not types.NoneType)
        return _field(only, allow_none=True)
    if origin is typing.Literal:
        return fields.String(validate=validate.OneOf(inner), **how)
    if origin is tuple:
        return _list(inner, how)
    if hint is int:
        return fields.Integer(strict=True, **how)
    if hint in _PLAIN:
        return _PLAIN[hint](**how)
    if origin is dict or hint is dict:
        return fields.Dict(**how)
    if is_dataclass(hint):
        return fields.Nested(schema_of(cast(Hashable, hint)), **how)
    raise TypeError(hint)


def _list(inner: tuple[Any, ...], how: dict[str, Any]) -> fields.Field[Any]:
    """Of as many as there are, or of a fixed few whose kinds differ."""
    if len(inner) == 2 and inner[1] is Ellipsis:
        return fields.List(_field(inner[0]), **how)
    one = _field(inner[0]) if len(set(inner)) == 1 else fields.Raw()
    return fields.List(one, validate=validate.Length(equal=len(inner)), **how)
