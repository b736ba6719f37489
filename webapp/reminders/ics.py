"""Events -> calendar bytes. A pure function: the same input always gives the same bytes.

The iCalendar format is RFC 5545; the sections are named where a rule comes from. Written by hand, not by a library,
because what matters most here is what libraries leave to the caller: no control character ever, one DTEND, VALARM
last and without a UID, folding that never cuts a character, and bytes that do not change with a library's version.

Instants go out as UTC ("form 2" of section 3.3.5): time-zone tables that travel inside a file were read up to an hour
wrong by common parsers. The person's own clock is in the text (see `words/calendar.py`).
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from webapp.core.kinds import EntryKind
from webapp.core.kitchen import NO_ALARM

TEXT_MARK = "X-SUPPERTIDE-TEXT"  # of an event: `text_mark` of the text that we wrote, then those of its former texts
WRITER = "X-SUPPERTIDE-WRITER"  # of an event in a calendar of one's own: which of our connections wrote it last
CONTENT_TYPE = "text/calendar; charset=utf-8"
_PRODID = "-//Suppertide//Suppertide 1//EN"
_MOST_FORMER = 8  # texts of an event that are known again
_FOLD_OCTETS = 75  # section 3.1, line break not counted
_EARLIEST, _LATEST = 0, 253402300799  # what a four-digit year can say


@dataclass(frozen=True)
class Entry:
    """One VEVENT. `made_at`, `sequence` and `changed_at` are its history, everything else its content."""

    uid: str
    step_id: str
    start: int
    end: int
    title: str
    text: str
    path: str  # of the page that opens the step, no origin, no secret
    made_at: int
    busy: bool = False  # somebody's hands are needed: shown as busy
    alarm_min: int = NO_ALARM
    cancelled: bool = False
    sequence: int = 0
    changed_at: int = 0
    also: tuple[str, ...] = ()  # ids of further steps that this event tells of; its text says so, not this
    bake_id: str = ""  # these two are of messages, and no calendar shows them
    short: str = ""  # its time and the first thing to do, in a line
    who: tuple[str, ...] = ()  # whom it suits, of several in the house, for a feed of one's own; () = anybody
    theirs: str = ""  # the title as somebody else reads it, whom alone it suits, in a file of their own
    former: tuple[str, ...] = ()  # marks of the texts that it had before, the last one first
    kind: EntryKind = ""  # "" in one that was kept before there were kinds

    def fingerprint(self) -> str:
        """A hash of the content alone: it changes exactly when a reader of the calendar would see a change."""
        content = dataclasses.asdict(dataclasses.replace(self, sequence=0, changed_at=0, made_at=0))
        for name in ("also", "bake_id", "short", "who", "theirs", "former", "kind"):
            del content[name]
        return hashlib.sha256(json.dumps(content, sort_keys=True).encode("utf-8", "surrogatepass")).hexdigest()


def write_calendar(
    entries: Iterable[Entry], *, origin: str = "", name: str = "", refresh_min: int = 0, writer: str = ""
) -> bytes:  # fmt: skip
    """A VCALENDAR (section 3.4) of these events, in the order given.

    `name` and `refresh_min` belong to a subscribed feed: its name and how often it asks to be fetched (RFC 7986 5.1
    and 5.7, each with the older property that more programs read). `writer`: the mark of the connection that writes.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODID}"]
    if name:
        lines += [f"NAME:{escape(name)}", f"X-WR-CALNAME:{escape(name)}"]
    if refresh_min:
        lines += [f"REFRESH-INTERVAL;VALUE=DURATION:PT{refresh_min}M", f"X-PUBLISHED-TTL:PT{refresh_min}M"]
    for entry in entries:
        lines += _event_lines(entry, origin, writer)
    lines.append("END:VCALENDAR")
    return "".join(_fold(line) for line in lines).encode()


def called_off(entry: Entry) -> Entry:
    """The same event, cancelled, with nothing left that rings or makes busy."""
    return replace(entry, cancelled=True, busy=False, alarm_min=NO_ALARM)


def _event_lines(entry: Entry, origin: str, writer: str) -> list[str]:
    """A VEVENT (section 3.6.1), its alarm last."""
    lines = [
        "BEGIN:VEVENT",
        f"UID:{escape(entry.uid)}",
        f"DTSTAMP:{utc(entry.changed_at)}",
        f"DTSTART:{utc(entry.start)}",
        f"DTEND:{utc(entry.end)}",
        f"SUMMARY:{escape(entry.title)}",
        f"DESCRIPTION:{escape(entry.text)}",
        f"{TEXT_MARK}:{' '.join((mark_of(entry), *entry.former))}",
    ]
    if writer:
        lines.append(f"{WRITER}:{writer}")
    if origin:
        lines.append(f"URL:{_uri(origin + entry.path)}")
    lines += [
        f"STATUS:{'CANCELLED' if entry.cancelled else 'CONFIRMED'}",
        f"TRANSP:{'OPAQUE' if entry.busy else 'TRANSPARENT'}",
        f"SEQUENCE:{entry.sequence}",
        f"CREATED:{utc(entry.made_at)}",
        f"LAST-MODIFIED:{utc(entry.changed_at)}",
    ]
    if entry.alarm_min >= 0:
        lines += _alarm_lines(entry.alarm_min, entry.title)
    lines.append("END:VEVENT")
    return lines


def _alarm_lines(minutes: int, title: str) -> list[str]:
    """A VALARM (section 3.6.6): DISPLAY, relative to the start, whole minutes, no UID (a common reader drops those)."""
    sign = "-" if minutes else ""
    return [
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        f"TRIGGER:{sign}PT{minutes}M",
        f"DESCRIPTION:{escape(title)}",
        "END:VALARM",
    ]


def as_lines(text: str) -> str:
    """The text as a person reads it: ends of lines and blanks around them are a program's own affair."""
    return "\n".join(line.strip() for line in text.splitlines()).strip()


def after(entry: Entry, before: Entry) -> Entry:
    """The event as it is now, with the marks of the texts that it had before."""
    marks = (mark_of(before), *before.former)
    return replace(entry, former=tuple(one for one in dict.fromkeys(marks) if one != mark_of(entry))[:_MOST_FORMER])


def mark_of(entry: Entry) -> str:
    """Of its text as it stands in a calendar."""
    return text_mark(as_lines(clean(entry.text)))


def text_mark(text: str) -> str:
    """By what our text is known again among words that a person put around it: its length and its digest."""
    return f"{len(text)}-{hashlib.sha256(text.encode()).hexdigest()[:16]}"


def utc(instant: int) -> str:
    """An instant as UTC date-time (section 3.3.5, form 2)."""
    return datetime.fromtimestamp(min(max(instant, _EARLIEST), _LATEST), UTC).strftime("%Y%m%dT%H%M%SZ")


def clean(text: str) -> str:
    """Text without what no calendar may carry: control characters, line separators, half characters.

    Line breaks of every kind become a newline, tabs a space; the rest of the C0 and C1 controls, the noncharacters
    (they break the XML in which calendar servers hand events on) and lone surrogates go.
    """
    for line_break in ("\r\n", "\r", "\x0b", "\x0c", "\x85", "\u2028", "\u2029"):
        text = text.replace(line_break, "\n")
    text = text.replace("\t", " ")
    return "".join(c for c in text if c == "\n" or not _forbidden(ord(c)))


def _forbidden(code: int) -> bool:
    control = code < 0x20 or 0x7F <= code < 0xA0
    return control or 0xD800 <= code < 0xE000 or 0xFDD0 <= code < 0xFDF0 or (code & 0xFFFE) == 0xFFFE


def escape(text: str) -> str:
    """TEXT value (section 3.3.11): backslash, semicolon, comma and newline escaped, after `clean`."""
    text = clean(text).replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return text.replace("\n", "\\n")


def _uri(text: str) -> str:
    """A URI value is not escaped, so nothing but printable ASCII without spaces may be in it."""
    return "".join(c for c in text if "!" <= c <= "~")


def _fold(line: str) -> str:
    """One content line with its CRLF, folded at 75 octets (section 3.1).

    Never inside a character, and not beside a space where that can be helped: some readers trim lines before they
    join them.
    """
    if len(line) <= _FOLD_OCTETS and line.isascii():
        return line + "\r\n"
    pieces: list[str] = []
    room = _FOLD_OCTETS
    while line:
        cut = _cut(line, room)
        pieces.append(line[:cut])
        line, room = line[cut:], _FOLD_OCTETS - 1
    return "\r\n ".join(pieces) + "\r\n"


def _cut(line: str, room: int) -> int:
    """How many characters of `line` go on this row of at most `room` octets."""
    octets = most = 0
    while most < len(line) and octets + len(line[most].encode()) <= room:
        octets += len(line[most].encode())
        most += 1
    if most == len(line):
        return most
    cut = most
    while cut > most - 20 and (line[cut] == " " or line[cut - 1] == " "):
        cut -= 1
    return cut if cut > most - 20 else most
