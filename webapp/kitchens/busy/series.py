"""Series of a plain kind, laid out only where they matter: days or weeks of years ago are stepped over, not walked.

A calendar has thousands of such series, each read by itself; the library that knows every rule (see `reader.py`)
takes some milliseconds for one. What is not of the plain kind, with further dates, changes of all that follows or
mixed forms of time, is left to it. The rules themselves are dateutil's (RFC 5545 3.3.10).
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cache
from zoneinfo import ZoneInfo

from webapp.kitchens.busy.events import FileEvent, name_of

_FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_PARTS = {"FREQ", "INTERVAL", "COUNT", "UNTIL", "BYDAY", "BYMONTH", "BYMONTHDAY", "BYSETPOS", "WKST"}
_ONCE = {"DTSTART", "DTEND", "DURATION", "RRULE"}
_WHEN = re.compile(r"(\d{8})(T\d{6})?(Z?)\Z")
_LENGTH = re.compile(r"P(?:(\d+)W|(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?)\Z")
_DAY = timedelta(days=1)


class NotPlainError(Exception):
    """For the library to read."""


@dataclass(frozen=True)
class _When:
    """A time as it is written: on which clock (None: on whichever hangs in the kitchen), or a whole day."""

    local: datetime
    zone: tzinfo | None
    whole_day: bool

    def form(self) -> tuple[tzinfo | None, bool]:
        return self.zone, self.whole_day

    def on(self, zone: tzinfo | None) -> datetime:
        """The same moment on another clock."""
        if zone is self.zone or zone is None:
            return self.local
        if self.zone is None:
            raise NotPlainError
        return self.local.replace(tzinfo=self.zone).astimezone(zone).replace(tzinfo=None)


def plain_series(
    rows: list[FileEvent], start: int, end: int, kitchen: ZoneInfo
) -> tuple[FileEvent, list[tuple[int, int]], list[FileEvent]]:
    """Of a series: the event that repeats; begin and end of its occurrences that overlap with what lies between two
    instants, in UTC seconds; and its exceptions, which are events of their own. Raises NotPlainError."""
    exceptions = [one for one in rows if one.get("RECURRENCE-ID")]
    mains = [one for one in rows if not one.get("RECURRENCE-ID")]
    if len(mains) != 1 or not _is_plain(mains[0]) or not all(map(_is_plain_exception, exceptions)):
        raise NotPlainError
    (begin,) = _times(mains[0], "DTSTART")
    gone = {_at(when, begin) for when in _times(mains[0], "EXDATE")}
    moved = [_at(when, begin) for one in exceptions for when in _times(one, "RECURRENCE-ID")]
    if len(set(moved)) != len(exceptions):
        raise NotPlainError
    spans = _spans(mains[0], begin, gone | set(moved), (start, end), kitchen)
    return mains[0], spans, [one for one, at in zip(exceptions, moved, strict=True) if at not in gone]


def _is_plain(one: FileEvent) -> bool:
    names = [name_of(line) for line in one.lines]
    return "RRULE" in names and "RDATE" not in names and all(names.count(name) <= 1 for name in _ONCE)


def _is_plain_exception(one: FileEvent) -> bool:
    """One day that is otherwise; not all days from then on, and nothing that repeats by itself."""
    names = {name_of(line) for line in one.lines}
    return not names & {"RRULE", "RDATE"}


def _spans(
    one: FileEvent, begin: _When, gone: set[datetime], window: tuple[int, int], kitchen: ZoneInfo
) -> list[tuple[int, int]]:
    start, end = window
    length = _length(one, begin)
    zone = begin.zone or kitchen
    first, last = (datetime.fromtimestamp(at, zone).replace(tzinfo=None) for at in window)
    found = [at for at in _locals(one.get("RRULE"), begin, first - length - _DAY, last + _DAY) if at not in gone]
    spans = [(_instant(at, zone), _instant(at + length, zone)) for at in found]
    return [(s, e) for s, e in spans if s < end and e > start]


def _at(when: _When, begin: _When) -> datetime:
    """That moment on the clock of the series."""
    if when.whole_day != begin.whole_day or (when.zone is None) != (begin.zone is None):
        raise NotPlainError
    return when.on(begin.zone)


def _locals(rule: str, begin: _When, first: datetime, last: datetime) -> Iterator[datetime]:
    """When it happens between two moments, all on the clock of the series; its start counts too (RFC 5545 3.8.5.3)."""
    parts = _parts(rule)
    until = _until(parts.get("UNTIL", ""), begin)
    if first <= begin.local <= last and not (until and until < begin.local):
        yield begin.local
    near = begin.local if "COUNT" in parts else _nearer(parts, begin.local, first)
    for at in _rule(parts, until, near):
        if at > last:
            return
        if at >= first and at != begin.local:
            yield at


def _rule(parts: dict[str, str], until: datetime | None, near: datetime) -> Iterator[datetime]:
    from dateutil.rrule import rrulestr  # type: ignore[import-untyped]  # it ships no types

    said = [f"{name}={value}" for name, value in parts.items() if name != "UNTIL"]
    said += [f"UNTIL={until:%Y%m%dT%H%M%S}"] if until else []
    try:
        return iter(rrulestr(";".join(said), dtstart=near))
    except (ValueError, TypeError, KeyError, IndexError) as error:
        raise NotPlainError from error


def _parts(rule: str) -> dict[str, str]:
    pairs = [part.partition("=") for part in rule.upper().strip(";").split(";")]
    parts = {name: value for name, _, value in pairs}
    plain = len(parts) == len(pairs) and set(parts) <= _PARTS and parts.get("FREQ") in _FREQUENCIES
    if not plain or not parts.get("INTERVAL", "1").isdigit() or int(parts.get("INTERVAL", "1")) < 1:
        raise NotPlainError
    if "COUNT" in parts and ("UNTIL" in parts or not parts["COUNT"].isdigit() or int(parts["COUNT"]) < 1):
        raise NotPlainError
    return parts


def _until(text: str, begin: _When) -> datetime | None:
    if not text:
        return None
    when = _when(text, None)
    if begin.whole_day:
        return when.local.replace(hour=0, minute=0, second=0)
    if when.whole_day or when.zone is None or begin.zone is None:
        raise NotPlainError
    return when.on(begin.zone)


def _nearer(parts: dict[str, str], begin: datetime, first: datetime) -> datetime:
    """A start of the same series a whole number of its periods later, still before `first`."""
    every = int(parts.get("INTERVAL", "1"))
    days = {"DAILY": every, "WEEKLY": 7 * every}.get(parts["FREQ"], 0)
    if first <= begin:
        return begin
    if days:
        return begin + (first - begin) // _DAY // days * days * _DAY
    if begin.day > 28:
        return begin
    months = (first.year - begin.year) * 12 + first.month - begin.month - 1
    step = every if parts["FREQ"] == "MONTHLY" else 12 * every
    ahead = begin.month - 1 + max(0, months) // step * step
    return begin.replace(year=begin.year + ahead // 12, month=ahead % 12 + 1)


# -- times


def _times(one: FileEvent, name: str) -> list[_When]:
    found = []
    for line in one.lines:
        if name_of(line) == name:
            head, _, values = line.partition(":")
            found += [_when(value.strip(), _zone(head)) for value in values.split(",")]
    if name == "DTSTART" and len(found) != 1:
        raise NotPlainError
    return found


def _zone(head: str) -> tzinfo | None:
    params = [part.partition("=") for part in head.split(";")[1:]]
    if any(name.upper() not in ("TZID", "VALUE") for name, _, _ in params):
        raise NotPlainError
    keys = [value.strip('"') for name, _, value in params if name.upper() == "TZID"]
    return known_zone(keys[0]) if keys else None


@cache
def known_zone(key: str) -> tzinfo:
    """The zone of this name; else what the library takes it for: as the file itself describes it (VTIMEZONE), or a
    name that office programs write. Raises NotPlainError for one that nobody knows."""
    try:
        return ZoneInfo(key)
    except (ValueError, OSError, KeyError):
        return _of_the_library(key)


def _of_the_library(key: str) -> tzinfo:
    from icalendar.timezone import tzp

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it says when it guesses; so it does for what is not of the plain kind
            zone: tzinfo | None = tzp.timezone(key)
    except Exception as error:  # whatever somebody called a zone
        raise NotPlainError from error
    if zone is None:
        raise NotPlainError
    return zone


def _when(text: str, zone: tzinfo | None) -> _When:
    found = _WHEN.match(text)
    if not found or (found[3] and (zone or not found[2])):
        raise NotPlainError
    try:
        local = datetime.strptime(found[1] + (found[2] or "T000000"), "%Y%m%dT%H%M%S")  # noqa: DTZ007  # as written
    except ValueError as error:
        raise NotPlainError from error
    return _When(local, UTC if found[3] else zone, whole_day=not found[2])


def _length(one: FileEvent, begin: _When) -> timedelta:
    ends = _times(one, "DTEND")
    if ends and one.get("DURATION"):
        raise NotPlainError
    if ends and ends[0].form() != begin.form():
        raise NotPlainError
    length = ends[0].local - begin.local if ends else _duration(one.get("DURATION"))
    if length < timedelta(0):
        raise NotPlainError
    return max(length, _DAY) if begin.whole_day else length


def _duration(text: str) -> timedelta:
    if not text:
        return timedelta(0)
    found = _LENGTH.match(text.removeprefix("+"))
    if not found:
        raise NotPlainError
    weeks, days, hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return timedelta(weeks=weeks, days=days, hours=hours, minutes=minutes, seconds=seconds)


def _instant(local: datetime, zone: tzinfo) -> int:
    return int(local.replace(tzinfo=zone).timestamp())
