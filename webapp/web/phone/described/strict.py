"""Fields that take what they are named for and nothing that could pass for it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from marshmallow import ValidationError, fields, validate

NAME_LENGTH = "most_name"  # in a field's metadata: the most letters of a name in the group, for the description


def matching(pattern: str, said: str | None = None, but: Sequence[str] = ()) -> fields.String:
    """A text that matches as a whole, which the description says in ECMA-262's own way, and is none of `but`."""
    check = validate.Regexp(rf"{pattern}\Z", error=said)
    told = {"pattern": f"^{pattern}$"} | ({"not": {"enum": list(but)}} if but else {})
    return fields.String(required=True, validate=[check, validate.NoneOf(but)], metadata=told)


class Number(fields.Float):
    """A finite number, and not a text of one."""

    def _validated(self, value: Any) -> float:
        if not isinstance(value, int | float):
            raise ValidationError("A number.")
        number = super()._validated(value)
        if not math.isfinite(number):
            raise ValidationError("A number.")
        return number


class Whole(fields.Integer):
    """A whole number, however it is written: 3.0 is one (RFC 8259 knows numbers of one kind), "3" and 3.5 are none."""

    def _validated(self, value: Any) -> int:
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if not isinstance(value, int):
            raise ValidationError("A whole number.")
        return super()._validated(value)


class Flag(fields.Boolean):
    """True or false, and nothing that counts as either."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **how: Any) -> bool:
        del attr, data, how  # what is asked is the value alone
        if not isinstance(value, bool):
            raise ValidationError("True or false.")
        return value
