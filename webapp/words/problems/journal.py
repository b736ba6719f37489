"""What the JSON API finds wrong with what a phone sends."""

from __future__ import annotations

from webapp.words.problems.typed import Said

NO_JSON = ("This is not JSON.", "Numbers must be finite and the text UTF-8.")
OTHER_BAKE = ("This event is of another bake.", "Send it to its own address.")


def many_at_once(most: int) -> str:
    """Too many of them in one request."""
    return f"{most} events at most in one request."


def nested(most: int) -> Said:
    """Groups inside groups."""
    return "This is nested too deep.", f"{most} levels at most."


def large(most_bytes: int) -> Said:
    """More than an event needs."""
    return "This is too much for one event.", f"{most_bytes} bytes at most."


# What a value of an event is.
AN_ID = "32 hexadecimal digits."
A_LIST_LINE = "A line of the weigh-out list: part/key."
A_KIND = "Small letters, digits and dashes, 32 at most."
SEE_SCHEMAS = "What an event takes is written down in webapp/web/phone/schemas.py."
