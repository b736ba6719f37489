"""Reading one event of a calendar: the event itself, its start, a property as a person would read it. RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import icalendar

from webapp.reminders.ics import as_lines


class UnreadableEventError(ValueError):
    """That is no calendar, or there is no event in it."""


def read(body: bytes) -> Any:
    """The calendar. Raises UnreadableEventError."""
    try:
        return icalendar.Calendar.from_ical(body)
    except (ValueError, KeyError, IndexError, AttributeError, TypeError) as error:
        raise UnreadableEventError("no calendar") from error


def event_of(calendar: Any) -> Any:
    """The event itself, not one of the exceptions that a repetition may have."""
    found = [one for one in calendar.walk("VEVENT") if "RECURRENCE-ID" not in one]
    if not found or "DTSTART" not in found[0]:
        raise UnreadableEventError("no event")
    return found[0]


def instant_of(event: Any, name: str = "DTSTART") -> int:
    """Its start (or that property); a whole day begins at midnight UTC, a time without a zone is read as UTC."""
    try:
        when = event.decoded(name)
    except (ValueError, AttributeError, TypeError, KeyError) as error:
        raise UnreadableEventError("no start") from error
    if not isinstance(when, date):
        raise UnreadableEventError("no start")
    if not isinstance(when, datetime):
        when = datetime(when.year, when.month, when.day, tzinfo=UTC)
    return int((when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp())


def said(event: Any, name: str) -> str:
    """A property as a person would read it: ends of lines and blanks around them are a program's own affair."""
    held = event.get(name)
    texts = held if isinstance(held, list) else [held]
    return as_lines("\n".join(str(one) for one in texts if one is not None))


def number_of(event: Any) -> int:
    """Its SEQUENCE."""
    held = event.get("SEQUENCE")
    return int(held) if isinstance(held, int) else 0
