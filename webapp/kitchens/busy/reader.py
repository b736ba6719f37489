"""The process that reads somebody's calendar file: bytes in by stdin, busy spans out as JSON, nothing else.

Run by `calendar_file.py` as `python -m webapp.kitchens.busy.reader START END ZONE SECONDS`. Recurrence rules are
expanded by recurring-ical-events. Events that are transparent, cancelled or marked free do not count (RFC 5545, 3.8.2.7
and 3.8.1.11; the free mark is the widespread X-MICROSOFT-CDO-BUSYSTATUS).
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from webapp.core.day.span import Span, union
from webapp.kitchens.busy.events import LONGEST, FileEvent, UnreadableCalendarError, in_series, taken_apart
from webapp.kitchens.busy.series import NotPlainError, known_zone, plain_series
from webapp.machine.own_limits import TakesLongError, limit_this_process, not_for_ever
from webapp.words.problems import files

OURS = "@suppertide"  # in the names of our own events: the steps of a bake do not make its baker busy
_MOST_NAMED = 3
_LEAST_PATIENCE_S = 0.25


def busy_spans(ics: bytes, start: int, end: int, zone: ZoneInfo) -> tuple[list[Span], list[str]]:
    """Busy spans between two instants, and notes on what was left out. Raises UnreadableCalendarError."""
    frame, events = taken_apart(ics)
    read = Read()
    ours = [one for one in events if OURS in one.get("UID").lower()]  # some calendars write names in capitals
    read.too_often = [one for one in events if one.repeats_too_often()]
    if read.too_often and len(read.too_often) == len(events):
        raise UnreadableCalendarError(*files.TOO_OFTEN)
    frame = read.without_broken_zones(frame)
    left_out = {one.place for one in (*ours, *read.too_often)}
    single, series = in_series(one for one in events if one.place not in left_out)
    single = [one for one in single if one.may_lie_in(start, end)]
    read.note_unknown_zones([*single, *(one for rows in series.values() for one in rows)])
    for one in single:
        read.take(one, lambda one=one: [_event_of(frame, [one])], zone)  # type: ignore[misc]
    for rows in series.values():
        read.take_series(frame, rows, start, end, zone)
    read.add_free_busy(frame, zone)
    if read.broken and len(read.broken) == len(events):
        raise UnreadableCalendarError(*files.NO_EVENT_READABLE)
    return union(read.spans, Span(start, end)), [*([files.ours_left_out(len(ours))] if ours else []), *read.notes()]


@dataclass
class Read:
    """What was read, and what there is to say of it."""

    spans: list[Span] = field(default_factory=list)
    broken: list[FileEvent] = field(default_factory=list)
    too_often: list[FileEvent] = field(default_factory=list)
    zones: list[str] = field(default_factory=list)  # those that cannot be read
    tables: int = 0  # free-busy tables that cannot be read
    too_long: int = 0
    whole_days: int = 0
    declined: int = 0
    patience_s: float = 2.0  # of processor time for one event or series

    @contextmanager
    def patient(self) -> Iterator[None]:
        """TakesLongError for what never ends; each that did not leaves less time for the next."""
        try:
            with not_for_ever(self.patience_s):
                yield
        except TakesLongError:
            self.patience_s = max(self.patience_s / 2, _LEAST_PATIENCE_S)
            raise

    def take(self, one: FileEvent, occurrences: Callable[[], Sequence[Any]], zone: ZoneInfo) -> None:
        """Count an event (or a series) in; one that cannot be read is noted, the others count."""
        try:
            with self.patient():
                for event in occurrences():
                    self._add(event, zone)
        except UnreadableCalendarError:
            raise
        except Exception:  # a hostile file may raise anything inside the library; this process ends here anyway
            self.broken.append(one)

    def without_broken_exceptions(self, frame: str, rows: list[FileEvent]) -> list[FileEvent]:
        """A series without those of its exceptions that cannot be read: they are noted, and the rest of it counts."""
        if len(rows) < 2:
            return rows
        broken = [one for one in rows if one.get("RECURRENCE-ID") and not _is_readable(frame, one)]
        if len(broken) == len(rows):
            return rows  # noted as a whole
        self.broken += broken
        return [one for one in rows if one not in broken]

    def take_series(self, frame: str, rows: list[FileEvent], start: int, end: int, zone: ZoneInfo) -> None:
        """Count a series in: step by step where it is of the plain kind, else as the library has it."""
        if any(one.never_comes() for one in rows):
            self.broken.append(rows[0])
            return
        try:
            with self.patient():
                main, spans, exceptions = plain_series(rows, start, end, zone)
        except TakesLongError:
            self.broken.append(rows[0])
            return
        except NotPlainError:
            healthy = self.without_broken_exceptions(frame, rows)
            self.take(healthy[0], lambda: _expanded(frame, healthy, start, end), zone)
            return
        if _counts(main.get):
            for begin, finish in spans:
                self._count(begin, finish, main.is_whole_day, main.is_declined)
        for one in exceptions:
            if one.may_lie_in(start, end):
                self.take(one, lambda one=one: [_event_of(frame, [one])], zone)  # type: ignore[misc]

    def _add(self, event: Any, zone: ZoneInfo) -> None:
        if not _counts(lambda name: str(event.get(name, ""))):
            return
        guests = event.get("ATTENDEE", [])
        answers = [one.params.get("PARTSTAT", "") for one in (guests if isinstance(guests, list) else [guests])]
        declined = any(answer.upper() == "DECLINED" for answer in answers)
        self._count(*_bounds(event, zone), not isinstance(event["DTSTART"].dt, datetime), declined)

    def _count(self, begin: int, finish: int, whole_day: bool, declined: bool) -> None:
        if self._span(begin, finish):
            self.whole_days += whole_day
            self.declined += declined

    def _span(self, begin: int, finish: int) -> bool:
        """Count this stretch in; whether it makes somebody busy."""
        begin, finish = min(begin, finish), max(begin, finish)  # written backwards: the stretch between
        if finish - begin > LONGEST.total_seconds():
            self.too_long += 1
            return False
        if finish > begin:
            self.spans.append(Span(begin, finish))
        return finish > begin

    def add_free_busy(self, frame: str, zone: ZoneInfo) -> None:
        """The periods of free-busy tables in the file; one that cannot be read is noted."""
        for table in _parts(frame, "VFREEBUSY"):
            try:
                for begin, finish in list(_free_busy(_read_part(table), zone)):
                    self._span(begin, finish)
            except Exception:  # as above
                self.tables += 1

    def without_broken_zones(self, frame: str) -> str:
        """The file without time zones that cannot be read: they are noted, the others serve."""
        for part in _parts(frame, "VTIMEZONE"):
            try:
                _read_part(part).walk("VTIMEZONE")[0].to_tz()
            except Exception:  # as above
                self.zones.append(FileEvent(0, part.splitlines()).get("TZID")[:40])
                frame = frame.replace(part, "")
        return frame

    def note_unknown_zones(self, events: Sequence[FileEvent]) -> None:
        """A zone of which neither the file nor this computer knows anything: the library takes its times for ours."""
        for name in sorted(set().union(*(one.zones() for one in events))):
            try:
                known_zone(name)
            except NotPlainError:
                if name[:40] not in self.zones:
                    self.zones.append(name[:40])

    def notes(self) -> list[str]:
        """Plain sentences on what was left out or may surprise."""
        said = [files.long_left_out(self.too_long)] if self.too_long else []
        whens = ((one.place, re.sub(r"[^0-9TZ]", "", one.get("DTSTART"))[:16]) for one in self.broken[:_MOST_NAMED])
        said += [files.broken_left_out(place, when) for place, when in whens]
        if len(self.broken) > _MOST_NAMED:
            said.append(files.more_left_out(len(self.broken) - _MOST_NAMED))
        said += [files.often_left_out(one.place) for one in self.too_often[:_MOST_NAMED]]
        said += [files.unknown_zone(name) for name in self.zones[:_MOST_NAMED]]
        said += [files.tables_left_out(self.tables)] if self.tables else []
        said += [files.whole_days_count(self.whole_days)] if self.whole_days else []
        said += [files.declined_count(self.declined)] if self.declined else []
        return said


def _calendar_of(frame: str, events: list[FileEvent]) -> Any:
    from icalendar import Calendar

    zones = "" if all("TZID" not in line for one in events for line in one.lines) else _zones(frame)
    rows = [row for one in events for row in ("BEGIN:VEVENT", *one.lines, "END:VEVENT")]
    head = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-\r\n"
    return Calendar.from_ical(head + zones + "\r\n".join(rows) + "\r\nEND:VCALENDAR\r\n")


def _parts(frame: str, name: str) -> list[str]:
    return re.findall(rf"BEGIN:{name}\b.*?END:{name}\r\n", frame, flags=re.S | re.I)


def _read_part(part: str) -> Any:
    from icalendar import Calendar

    return Calendar.from_ical(f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-\r\n{part}END:VCALENDAR\r\n")


@cache
def _zones(frame: str) -> str:
    return "".join(_parts(frame, "VTIMEZONE"))


def _event_of(frame: str, events: list[FileEvent]) -> Any:
    event = _calendar_of(frame, events).walk("VEVENT")[0]
    if "DTSTART" not in event:
        raise ValueError("no start")
    return event


def _is_readable(frame: str, event: FileEvent) -> bool:
    try:
        found = _event_of(frame, [event])
        return bool(found["RECURRENCE-ID"].dt and found.start and found.end)
    except Exception:  # as in `Read.take`
        return False


def _expanded(frame: str, events: list[FileEvent], start: int, end: int) -> list[Any]:
    import recurring_ical_events  # type: ignore[import-untyped]  # it ships no types

    window = (datetime.fromtimestamp(at, UTC) for at in (start, end))
    return list(recurring_ical_events.of(_calendar_of(frame, events)).between(*window))


def _counts(get: Callable[[str], str]) -> bool:
    """Whether an event makes busy, by what it says under these names."""
    transparent = get("TRANSP").upper() == "TRANSPARENT"
    cancelled = get("STATUS").upper() == "CANCELLED"
    free = get("X-MICROSOFT-CDO-BUSYSTATUS").upper() == "FREE"
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
    except UnreadableCalendarError as wrong:
        answer = {"message": wrong.message, "way_out": wrong.way_out}
    sys.stdout.write(json.dumps(answer))


if __name__ == "__main__":
    main()
