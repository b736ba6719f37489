"""The process that reads somebody's calendar file: bytes in by stdin, busy spans out as JSON, nothing else.

Run by `busy.py` as `python -m webapp.kitchens.busy_reader START END ZONE SECONDS`. Recurrence rules are expanded by
recurring-ical-events. Events that are transparent, cancelled or marked free do not count (RFC 5545, 3.8.2.7 and
3.8.1.11; the free mark is the widespread X-MICROSOFT-CDO-BUSYSTATUS).
"""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from webapp.core.day.span import Span, union

MOST_MEMORY = 768 * 1024 * 1024
MOST_OCCURRENCES = 20_000
LONGEST = timedelta(days=60)
TOO_OFTEN = ("SECONDLY", "MINUTELY")


class UnreadableError(Exception):
    """What is wrong with the file and what to do about it."""

    def __init__(self, message: str, way_out: str) -> None:
        super().__init__(message)
        self.message, self.way_out = message, way_out


def limit_this_process(seconds: int) -> None:
    """At most so much processor time and memory, where the system can do that."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def busy_spans(ics: bytes, start: int, end: int, zone: ZoneInfo) -> tuple[list[Span], list[str]]:
    """Busy spans between two instants, and notes on what was left out. Raises UnreadableError."""
    from icalendar import Calendar

    try:
        calendars = Calendar.from_ical(ics, multiple=True)
    except Exception as wrong:  # a hostile file may raise anything inside the library; this process ends here anyway
        raise UnreadableError("that calendar file cannot be read.", "Export it again.") from wrong
    spans: list[Span] = []
    too_long = 0
    for calendar in calendars:
        for event in calendar.walk("VEVENT"):
            _refuse_too_often(event)
        for begin, finish in (*_events(calendar, start, end, zone), *_free_busy(calendar, zone)):
            if finish - begin > LONGEST.total_seconds():
                too_long += 1
            elif finish > begin:
                spans.append(Span(begin, finish))
    notes = [f"Left out {too_long} event{'s' * (too_long > 1)} longer than 60 days: nobody is busy that long."]
    return union(spans, Span(start, end)), notes if too_long else []


def _refuse_too_often(event: Any) -> None:
    rules = event.get("RRULE", [])
    for rule in rules if isinstance(rules, list) else [rules]:
        often = {str(f).upper() for f in rule.get("FREQ", [])}
        if often & set(TOO_OFTEN) or any(len(rule.get(part, [])) > 1 for part in ("BYMINUTE", "BYSECOND")):
            raise UnreadableError(
                "an event in it repeats more than once an hour.", "Take that event out, or export fewer weeks."
            )


def _events(calendar: Any, start: int, end: int, zone: ZoneInfo) -> Iterator[tuple[int, int]]:
    import recurring_ical_events  # type: ignore[import-untyped]  # it ships no types

    window = (datetime.fromtimestamp(at, UTC) for at in (start, end))
    try:
        found = recurring_ical_events.of(calendar).between(*window)
    except Exception as wrong:  # as above
        raise UnreadableError("an event in it has times that make no sense.", "Export it again.") from wrong
    if len(found) > MOST_OCCURRENCES:
        raise UnreadableError(f"it has {len(found):,} events in these weeks.", "Export fewer calendars.")
    for event in found:
        if _counts(event):
            yield _bounds(event, zone)


def _counts(event: Any) -> bool:
    transparent = str(event.get("TRANSP", "")).upper() == "TRANSPARENT"
    cancelled = str(event.get("STATUS", "")).upper() == "CANCELLED"
    free = str(event.get("X-MICROSOFT-CDO-BUSYSTATUS", "")).upper() == "FREE"
    return not (transparent or cancelled or free)


def _bounds(event: Any, zone: ZoneInfo) -> tuple[int, int]:
    begin = event.start
    finish = event.end
    if not isinstance(begin, datetime) and finish <= begin:
        finish = begin + timedelta(days=1)
    return _instant(begin, zone), _instant(finish, zone)


def _instant(when: date, zone: ZoneInfo) -> int:
    """UTC seconds; whole days and floating times are the kitchen's."""
    moment = when if isinstance(when, datetime) else datetime.combine(when, time(), zone)
    return int((moment if moment.tzinfo else moment.replace(tzinfo=zone)).timestamp())


def _free_busy(calendar: Any, zone: ZoneInfo) -> Iterator[tuple[int, int]]:
    """Periods of VFREEBUSY components that are not marked FREE."""
    for component in calendar.walk("VFREEBUSY"):
        rows = component.get("FREEBUSY", [])
        for row in rows if isinstance(rows, list) else [rows]:
            if str(row.params.get("FBTYPE", "BUSY")).upper() != "FREE":
                begin, finish = row.dt
                finish = begin + finish if isinstance(finish, timedelta) else finish
                yield _instant(begin, zone), _instant(finish, zone)


def main() -> None:
    """Read stdin, write one line of JSON."""
    start, end, zone, seconds = sys.argv[1:5]
    limit_this_process(int(seconds))
    answer: dict[str, object]
    try:
        spans, notes = busy_spans(sys.stdin.buffer.read(), int(start), int(end), ZoneInfo(zone))
        answer = {"spans": [[s.start, s.end] for s in spans], "notes": notes}
    except UnreadableError as wrong:
        answer = {"message": wrong.message, "way_out": wrong.way_out}
    sys.stdout.write(json.dumps(answer))


if __name__ == "__main__":
    main()
