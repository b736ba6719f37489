"""JSON from outside: counted before it is parsed, since a small text can become a large thing in memory."""

from __future__ import annotations

import json
import re

_STRING = re.compile(
    rb'"[^"]*"'
)  # once what is escaped is out of the way: no group is repeated, nothing is looked at twice
_QUOTES = 4  # of a value: around itself and around its name
_HALF = re.compile(rb"\\u[dD][89a-fA-F]")  # half a character, alone or as one of a pair
_NOT_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))


def read_json(data: bytes, most_values: int, most_depth: int, strict: bool = True) -> object:
    """The value of a JSON text (RFC 8259) of at most so many values and escapes, inside each other at most so deep.

    Raises ValueError with a reason in a few words: where it is `strict`, also for numbers that are not finite and for
    half a character (a lone surrogate), which could be read but never written again.
    """
    if data.count(b"\\") > most_values or data.count(b'"') > _QUOTES * most_values:
        raise ValueError("too many values")  # a parser keeps each piece between two escapes
    bare = _STRING.sub(b"", data.replace(b"\\\\", b"").replace(b'\\"', b""))
    if 1 + sum(bare.count(sign) for sign in (b",", b"[", b"{")) > most_values:
        raise ValueError("too many values")
    _check_depth(bare.translate(None, _NOT_BRACKETS), most_depth)
    try:
        value = json.loads(data, parse_constant=_no_number if strict else None)
    except RecursionError:
        raise ValueError("nested too deep") from None
    if strict and _HALF.search(data):
        json.dumps(value, ensure_ascii=False).encode()  # UnicodeEncodeError is a ValueError
    return value


def _check_depth(brackets: bytes, most: int) -> None:
    depth = 0
    for sign in brackets:
        depth += 1 if sign in b"[{" else -1
        if depth > most:
            raise ValueError("nested too deep")
        if depth < 0:
            return  # no parser gets beyond it


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is not a number")
