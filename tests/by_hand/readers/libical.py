"""Debian's libical3, called as it is: the calendar named on the command line, as JSON."""

from __future__ import annotations

import ctypes
import json
import sys
from collections.abc import Iterator

POINTER, NUMBER = ctypes.c_void_p, ctypes.c_int


class Span(ctypes.Structure):
    """icaldurationtype."""

    _fields_ = (("is_neg", NUMBER), *((n, ctypes.c_uint) for n in ("days", "weeks", "hours", "minutes", "seconds")))


class Time(ctypes.Structure):
    """icaltimetype."""

    _fields_ = (
        *((n, NUMBER) for n in ("year", "month", "day", "hour", "minute", "second", "is_date", "is_daylight")),
        ("zone", POINTER),
    )


class Trigger(ctypes.Structure):
    """icaltriggertype."""

    _fields_ = (("time", Time), ("duration", Span))


LIBRARY = ctypes.CDLL("libical.so.3")
for name, result, takes in (
    ("icalparser_parse_string", POINTER, [ctypes.c_char_p]),
    ("icalcomponent_get_first_component", POINTER, [POINTER, NUMBER]),
    ("icalcomponent_get_next_component", POINTER, [POINTER, NUMBER]),
    ("icalcomponent_get_first_property", POINTER, [POINTER, NUMBER]),
    ("icalcomponent_get_uid", ctypes.c_char_p, [POINTER]),
    ("icalcomponent_get_dtstart", Time, [POINTER]),
    ("icalcomponent_get_dtend", Time, [POINTER]),
    ("icaltime_as_timet", ctypes.c_long, [Time]),
    ("icalproperty_get_trigger", Trigger, [POINTER]),
    ("icaldurationtype_as_int", NUMBER, [Span]),
    ("icalcomponent_string_to_kind", NUMBER, [ctypes.c_char_p]),
    ("icalproperty_string_to_kind", NUMBER, [ctypes.c_char_p]),
):
    function = getattr(LIBRARY, name)
    function.restype, function.argtypes = result, takes


def parts(of: int, kind: bytes) -> Iterator[int]:
    """The components of that kind directly inside."""
    number = LIBRARY.icalcomponent_string_to_kind(kind)
    one = LIBRARY.icalcomponent_get_first_component(of, number)
    while one:
        yield one
        one = LIBRARY.icalcomponent_get_next_component(of, number)


def trigger(alarm: int) -> int:
    """Seconds from the start to the ring."""
    number = LIBRARY.icalproperty_string_to_kind(b"TRIGGER")
    held = LIBRARY.icalproperty_get_trigger(LIBRARY.icalcomponent_get_first_property(alarm, number))
    return int(LIBRARY.icaldurationtype_as_int(held.duration))


def main() -> None:
    """As above."""
    with open(sys.argv[1], "rb") as file:
        root = LIBRARY.icalparser_parse_string(file.read())
    seconds = LIBRARY.icaltime_as_timet
    found = {
        LIBRARY.icalcomponent_get_uid(event).decode(): [
            seconds(LIBRARY.icalcomponent_get_dtstart(event)),
            seconds(LIBRARY.icalcomponent_get_dtend(event)),
            [trigger(alarm) for alarm in parts(event, b"VALARM")],
        ]
        for event in parts(root, b"VEVENT")
    }
    print(json.dumps(found))


if __name__ == "__main__":
    main()
