"""Lists in running text."""

from __future__ import annotations

from collections.abc import Iterable


def joined(parts: Iterable[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c", or with another word before the last; what is empty is left out."""
    items = [part for part in parts if part]
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def steps_words(many: int) -> str:
    """ "1 step", "3 steps"."""
    return "1 step" if many == 1 else f"{many} steps"


def sentence(text: str) -> str:
    """The text with a capital at its beginning and nothing else changed."""
    return text[:1].upper() + text[1:]
