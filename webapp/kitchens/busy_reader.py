"""The process that reads somebody's calendar file: bytes in by stdin, busy spans out as JSON, nothing else.

Run by `busy.py` as `python -m webapp.kitchens.busy_reader START END ZONE SECONDS`. Recurrence rules are expanded by
recurring-ical-events. Events that are transparent, cancelled or marked free do not count (RFC 5545, 3.8.2.7 and
3.8.1.11; the free mark is the widespread X-MICROSOFT-CDO-BUSYSTATUS).
"""

from __future__ import annotations

import contextlib
import json
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from webapp.core.day.span import Span, union

MOST_MEMORY = 768 * 1024 * 1024
MOST_OCCURRENCES = 20_000
LONGEST = timedelta(days=60)
OURS = "@suppertide"  # in the names of our own events: the steps of a bake do not make its baker busy
_TO_SPARE = timedelta(days=2)
_MOST_NAMED = 3
_WANTED = frozenset(
    (
        "UID", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "TRANSP", "STATUS",
        "X-MICROSOFT-CDO-BUSYSTATUS", "ATTENDEE", "SEQUENCE",
    )
)  # fmt: skip


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
    frame, events = _taken_apart(ics)
    read = Read()
    for one in events:
        _refuse_too_often(one)
    ours = [one for one in events if OURS in one.get("UID")]
    single, series = _sorted(one for one in events if OURS not in one.get("UID"))
    for one in single:
        if one.may_lie_in(start, end):
            read.take(one, lambda one=one: [_event_of(frame, [one])], zone)  # type: ignore[misc]
    for rows in series.values():
        read.take(rows[0], lambda rows=rows: _expanded(frame, rows, start, end), zone)  # type: ignore[misc]
    read.add_free_busy(frame, zone)
    if read.broken and len(read.broken) == len(events):
        raise UnreadableError("no event in that calendar can be read.", "Export it again.")
    return union(read.spans, Span(start, end)), [*_of_ours(len(ours)), *read.notes()]


@dataclass
class FileEvent:
    """One event of the file as far as it matters here: its place in it and its lines, by name."""

    place: int
    lines: list[str]

    def get(self, name: str) -> str:
        """The value of the first line of that name, "" without one."""
        return next((line.partition(":")[2].strip() for line in self.lines if _name(line) == name), "")

    def may_lie_in(self, start: int, end: int) -> bool:
        """Whether an event that happens once can be of those days, told by its first date alone (two days to spare,
        as its zone is not looked at); what has no plain date is looked at."""
        day = self.get("DTSTART")[:8]
        if not re.fullmatch(r"[0-9]{8}", day):
            return True
        first, last = (datetime.fromtimestamp(at, UTC) for at in (start, end))
        return f"{first - LONGEST - _TO_SPARE:%Y%m%d}" <= day <= f"{last + _TO_SPARE:%Y%m%d}" or self._is_long()

    def _is_long(self) -> bool:
        return bool(self.get("DURATION")) or self.get("DTEND")[:4] > self.get("DTSTART")[:4]


@dataclass
class Read:
    """What was read, and what there is to say of it."""

    spans: list[Span] = field(default_factory=list)
    broken: list[FileEvent] = field(default_factory=list)
    too_long: int = 0
    whole_days: int = 0
    declined: int = 0
    found: int = 0

    def take(self, one: FileEvent, occurrences: Callable[[], Sequence[Any]], zone: ZoneInfo) -> None:
        """Count an event (or a series) in; one that cannot be read is noted, the others count."""
        try:
            for event in occurrences():
                self._add(event, zone)
        except UnreadableError:
            raise
        except Exception:  # a hostile file may raise anything inside the library; this process ends here anyway
            self.broken.append(one)

    def _add(self, event: Any, zone: ZoneInfo) -> None:
        if not _counts(event):
            return
        begin, finish = _bounds(event, zone)
        self.found += 1
        if self.found > MOST_OCCURRENCES:
            raise UnreadableError(f"it has more than {MOST_OCCURRENCES:,} events in these weeks.", "Export fewer.")
        self.whole_days += not isinstance(event["DTSTART"].dt, datetime)
        guests = event.get("ATTENDEE", [])
        answers = [one.params.get("PARTSTAT", "") for one in (guests if isinstance(guests, list) else [guests])]
        self.declined += any(answer.upper() == "DECLINED" for answer in answers)
        self._span(begin, finish)

    def _span(self, begin: int, finish: int) -> None:
        begin, finish = min(begin, finish), max(begin, finish)  # written backwards: the stretch between
        if finish - begin > LONGEST.total_seconds():
            self.too_long += 1
        elif finish > begin:
            self.spans.append(Span(begin, finish))

    def add_free_busy(self, frame: str, zone: ZoneInfo) -> None:
        """The periods of free-busy tables in the file."""
        from icalendar import Calendar

        try:
            calendars = Calendar.from_ical(frame, multiple=True)
            for begin, finish in (row for one in calendars for row in _free_busy(one, zone)):
                self._span(begin, finish)
        except Exception as wrong:  # as above
            raise UnreadableError("that calendar file cannot be read.", "Export it again.") from wrong

    def notes(self) -> list[str]:
        """Plain sentences on what was left out or may surprise."""
        said = []
        if self.too_long:
            many = "s" * (self.too_long > 1)
            said.append(f"Left out {self.too_long} event{many} longer than 60 days: nobody is busy that long.")
        for one in self.broken[:_MOST_NAMED]:
            when = re.sub(r"[^0-9TZ]", "", one.get("DTSTART"))[:16] or "without a start"
            said.append(f"Left out event {one.place} of the file ({when}): it cannot be read.")
        if len(self.broken) > _MOST_NAMED:
            said.append(f"And {len(self.broken) - _MOST_NAMED} more that cannot be read.")
        if self.whole_days:
            said.append(f"{self.whole_days} whole-day entries count as busy all day: mark them free if you are not.")
        if self.declined:
            said.append(f"{self.declined} with a declined invitation count: who declined cannot be told from the file.")
        return said


def _of_ours(number: int) -> list[str]:
    return [f"Left out {number} steps of your own bakes."] if number else []


def _taken_apart(ics: bytes) -> tuple[str, list[FileEvent]]:
    """The file without its events (zones, free-busy tables), and each event with the lines that matter here.

    Most of a calendar is words; a library would spend its time on them.
    """
    text = re.sub(r"\r?\n[ \t]", "", ics.decode("utf-8", "replace"))
    frame: list[str] = []
    events: list[FileEvent] = []
    inner = 0  # how deep in parts of an event, such as its alarms
    for line in text.splitlines():
        name, value = _name(line), line.partition(":")[2].strip().upper()
        if name == "BEGIN" and value == "VEVENT":
            events.append(FileEvent(len(events) + 1, []))
            inner = 1
        elif inner and name in ("BEGIN", "END"):
            inner += 1 if name == "BEGIN" else -1
        elif inner == 1 and name in _WANTED:
            events[-1].lines.append(line)
        elif not inner and line.strip():
            frame.append(line)
    if not frame:
        raise UnreadableError("that calendar file cannot be read.", "Export it again.")
    return "\r\n".join(frame) + "\r\n", events


def _name(line: str) -> str:
    return re.split(r"[;:]", line, maxsplit=1)[0].upper()


def _sorted(events: Iterable[FileEvent]) -> tuple[list[FileEvent], dict[str, list[FileEvent]]]:
    """Those that happen once, and by their name those that repeat, with their exceptions."""
    single: list[FileEvent] = []
    series: dict[str, list[FileEvent]] = {}
    for one in events:
        repeats = any(one.get(name) for name in ("RRULE", "RDATE", "RECURRENCE-ID"))
        if repeats:
            series.setdefault(one.get("UID") or str(one.place), []).append(one)
        else:
            single.append(one)
    return single, series


def _calendar_of(frame: str, events: list[FileEvent]) -> Any:
    from icalendar import Calendar

    zones = "" if all("TZID" not in line for one in events for line in one.lines) else _zones(frame)
    rows = [row for one in events for row in ("BEGIN:VEVENT", *one.lines, "END:VEVENT")]
    head = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-\r\n"
    return Calendar.from_ical(head + zones + "\r\n".join(rows) + "\r\nEND:VCALENDAR\r\n")


@cache
def _zones(frame: str) -> str:
    return "".join(re.findall(r"BEGIN:VTIMEZONE.*?END:VTIMEZONE\r\n", frame, flags=re.S | re.I))


def _event_of(frame: str, events: list[FileEvent]) -> Any:
    event = _calendar_of(frame, events).walk("VEVENT")[0]
    if "DTSTART" not in event:
        raise ValueError("no start")
    return event


def _expanded(frame: str, events: list[FileEvent], start: int, end: int) -> list[Any]:
    import recurring_ical_events  # type: ignore[import-untyped]  # it ships no types

    window = (datetime.fromtimestamp(at, UTC) for at in (start, end))
    return list(recurring_ical_events.of(_calendar_of(frame, events)).between(*window))


def _refuse_too_often(event: FileEvent) -> None:
    for rule in (line.upper() for line in event.lines if _name(line) == "RRULE"):
        often = re.search(r"FREQ=(SECONDLY|MINUTELY)", rule) or re.search(r"BY(MINUTE|SECOND)=[^;]*,", rule)
        if often:
            raise UnreadableError(
                "an event in it repeats more than once an hour.", "Take that event out, or export fewer weeks."
            )


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
