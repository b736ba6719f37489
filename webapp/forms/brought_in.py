"""A file that somebody brings in, before anything of it is read for what it means: its nesting, its texts and numbers.

All but `is_clean` raise ShapeError naming the path.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from webapp.core.ranges import MOST_LETTERS, MOST_NUMBER, MOST_WHOLE
from webapp.records import ShapeError
from webapp.words.problems import files as said
from webapp.words.problems.told import told

MOST_FILE_DEPTH = 30  # groups inside groups; ours have a dozen

T = TypeVar("T")


def wrong(path: str, expected: str) -> ShapeError:
    """What should stand at that path."""
    return ShapeError(told(path, *said.should_be(expected)))


def check_nesting(document: object) -> None:
    """ShapeError for endless nesting: nothing of it is looked at then."""
    if _below([document], _parts):
        raise wrong("file", said.nested(MOST_FILE_DEPTH))


def _below(level: list[T], inside: Callable[[T], Iterable[T]]) -> list[T]:
    """What still stands below as many levels as a file may have."""
    for _ in range(MOST_FILE_DEPTH):
        if not level:
            break
        level = [inner for one in level for inner in inside(one)]
    return level


def _parts(value: object) -> Iterable[object]:
    if isinstance(value, Mapping):
        return value.values()
    return value if isinstance(value, list) else ()


def check_document(document: object) -> None:
    """ShapeError for texts that no page could show, numbers that nothing could be reckoned with, endless nesting."""
    if too_deep := _below([("file", document)], _inside):
        raise wrong(too_deep[0][0][:200], said.nested(MOST_FILE_DEPTH))


def _inside(place: tuple[str, object]) -> Iterable[tuple[str, object]]:
    path, value = place
    if isinstance(value, Mapping):
        for key in value:
            _check_text(path, key)
        return [(f"{path}.{key[:40]}", inner) for key, inner in value.items()]
    if isinstance(value, list):
        return [(f"{path}.{i}", inner) for i, inner in enumerate(value)]
    if isinstance(value, str):
        _check_text(path, value)
    elif isinstance(value, int | float):
        most = MOST_WHOLE if isinstance(value, int) else MOST_NUMBER
        if not -most < value < most:  # NaN is in no range
            raise wrong(path, said.SMALLER_NUMBER)
    return ()


def _check_text(path: str, text: str) -> None:
    try:
        text.encode()  # half a character (a lone surrogate) can be read from JSON and be written nowhere
        readable = len(text) <= MOST_LETTERS and "\0" not in text
    except UnicodeEncodeError:
        readable = False
    if not readable:
        raise wrong(path, said.readable_text(MOST_LETTERS))


def is_clean(data: object) -> bool:
    """Has it no text that no page could show, and no number that nothing could be reckoned with?"""
    try:
        check_document(data)
    except ShapeError:
        return False
    return True


def group(data: object, path: str) -> Mapping[str, Any]:
    """Named values, or ShapeError at `path`."""
    if not isinstance(data, Mapping):
        raise wrong(path, said.NAMED_VALUES)
    return data


def list_of(data: Mapping[str, Any], name: str, path: str = "") -> list[Any]:
    """A list by its name, empty where there is none."""
    value = data.get(name, [])
    if not isinstance(value, list):
        raise wrong(f"{path}.{name}".lstrip("."), said.A_LIST)
    return value


def text(value: object, path: str) -> str:
    """A short text."""
    if not isinstance(value, str) or not 0 < len(value) <= 64:
        raise wrong(path, said.SHORT_TEXT)
    return value
