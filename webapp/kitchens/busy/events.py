"""A calendar file taken apart into its events, each with the lines that matter for when somebody is busy.

Most of a calendar is words; a library would spend its time on them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from webapp.words.problems import files as said

LONGEST = timedelta(days=60)
_TO_SPARE = timedelta(days=2)
_WANTED = frozenset(
    (
        "UID", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "RECURRENCE-ID", "TRANSP", "STATUS",
        "X-MICROSOFT-CDO-BUSYSTATUS", "ATTENDEE", "SEQUENCE",
    )
)  # fmt: skip
_TZID = re.compile(r'^[A-Z]+(?:;[^;:"]*)*?;TZID=("[^"]*"|[^:;"]*)', flags=re.I)


class UnreadableCalendarError(Exception):
    """What is wrong with the file and what to do about it."""

    def __init__(self, message: str, way_out: str) -> None:
        super().__init__(message)
        self.message, self.way_out = message, way_out


@dataclass
class FileEvent:
    """One event of the file as far as it matters here: its place in it and its lines, by name."""

    place: int
    lines: list[str]

    def get(self, name: str) -> str:
        """The value of the first line of that name, "" without one."""
        return next((line.partition(":")[2].strip() for line in self.lines if name_of(line) == name), "")

    def zones(self) -> set[str]:
        """The time zones in which it says when it begins and ends (RFC 5545 3.2.19: the name may stand in quotes)."""
        found = (_TZID.search(line) for line in self.lines if name_of(line) in ("DTSTART", "DTEND"))
        return {one[1].strip('"') for one in found if one}

    def may_lie_in(self, start: int, end: int) -> bool:
        """Whether an event that happens once can be of those days, told by its first date alone (two days to spare,
        as its zone is not looked at); what has no plain date is looked at."""
        day = self.get("DTSTART")[:8]
        if not re.fullmatch(r"[0-9]{8}", day):
            return True
        first, last = (datetime.fromtimestamp(at, UTC) for at in (start, end))
        return f"{first - LONGEST - _TO_SPARE:%Y%m%d}" <= day <= f"{last + _TO_SPARE:%Y%m%d}" or self._is_long()

    def repeats_too_often(self) -> bool:
        """Whether it happens more than once an hour: such a rule may keep a reader busy for ever."""
        rules = [line.upper() for line in self.lines if name_of(line) == "RRULE"]
        return any(re.search(r"FREQ=(SECONDLY|MINUTELY)|BY(MINUTE|SECOND)=[^;]*,", rule) for rule in rules)

    def never_comes(self) -> bool:
        """Whether its rule has a step or a number of nothing, which RFC 5545 3.3.10 does not allow: readers look for
        the next one for ever."""
        rules = [line.upper() for line in self.lines if name_of(line) == "RRULE"]
        return any(re.search(r"[:;](INTERVAL|COUNT)=(0+|-[0-9]*)?(;|$)", rule.strip()) for rule in rules)

    @property
    def is_whole_day(self) -> bool:
        """Whether it begins with a day, not at a time."""
        return "T" not in self.get("DTSTART")

    @property
    def is_declined(self) -> bool:
        """Whether somebody invited said no."""
        guests = (line.upper() for line in self.lines if name_of(line) == "ATTENDEE")
        return any(re.search(r';PARTSTAT="?DECLINED\b', guest) for guest in guests)

    def _is_long(self) -> bool:
        return bool(self.get("DURATION")) or self.get("DTEND")[:6] > self.get("DTSTART")[:6]


def taken_apart(ics: bytes) -> tuple[str, list[FileEvent]]:
    """The file without its events (zones, free-busy tables), and each event with the lines that matter here.

    Raises UnreadableCalendarError.
    """
    text = re.sub(r"\r?\n[ \t]", "", ics.decode("utf-8", "replace"))
    frame: list[str] = []
    events: list[FileEvent] = []
    inner = 0  # how deep in parts of an event, such as its alarms
    for line in text.splitlines():
        name, value = name_of(line), line.partition(":")[2].strip().upper()
        if name == "BEGIN" and value == "VEVENT":
            events.append(FileEvent(len(events) + 1, []))
            inner = 1
        elif inner and name in ("BEGIN", "END"):
            inner += 1 if name == "BEGIN" else -1
        elif inner == 1 and name in _WANTED:
            events[-1].lines.append(line)
        elif not inner and line.strip():
            frame.append(line)
    if "BEGIN:VCALENDAR" not in (line.strip().upper() for line in frame):
        raise UnreadableCalendarError(*said.NOT_READABLE)
    return "\r\n".join(frame) + "\r\n", events


def name_of(line: str) -> str:
    return re.split(r"[;:]", line, maxsplit=1)[0].upper()


def in_series(events: Iterable[FileEvent]) -> tuple[list[FileEvent], dict[str, list[FileEvent]]]:
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
