"""The kitchen record as it is kept: what this program cannot read of it is as a newcomer has it, and is named."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields
from typing import Any

from webapp.core.kitchen import Kitchen
from webapp.records import ShapeError, from_plain


def settings_in(plain: Mapping[str, Any]) -> tuple[Kitchen, tuple[str, ...]]:
    """The kitchen record as it is kept, and which fields of it cannot be read: those are as a newcomer's."""
    try:
        return from_plain(Kitchen, plain), ()
    except ShapeError:
        read = {one.name: plain[one.name] for one in fields(Kitchen) if one.name in plain and _reads(one.name, plain)}
        return from_plain(Kitchen, read), tuple(name for name in plain if name not in read)


def _reads(name: str, plain: Mapping[str, Any]) -> bool:
    with suppress(ShapeError):
        from_plain(Kitchen, {name: plain[name]})
        return True
    return False
