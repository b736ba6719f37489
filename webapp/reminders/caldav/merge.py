"""Three texts of one event -> one: what we wrote last, what stands in the calendar, what we want to stand there.

What a person changed stays theirs: title, alarms, snoozes, place, categories, invited people, and everything that is
never ours. What is ours follows the bake: start, end, text, link. A start that the person changed is kept here and
asked about elsewhere (`start_of` tells it).

iCalendar is RFC 5545, snoozed and acknowledged alarms are RFC 9074 (sections 6 and 7).
"""

from __future__ import annotations

from typing import Any

from icalendar.prop import vInt, vText

from webapp.reminders.caldav.alarms import alarms_of, forget_traces, merge_alarms
from webapp.reminders.caldav.event_parts import event_of, instant_of, number_of, read, said
from webapp.reminders.ics import TEXT_MARK, WRITER, text_mark

_OURS = ("DTSTAMP", "LAST-MODIFIED", "URL", TEXT_MARK, WRITER)  # simply follow
_SHARED = ("SUMMARY", "TRANSP", "STATUS")  # follow until somebody changes them
_FORM = {"UID", "DTSTAMP", "LAST-MODIFIED", "CREATED", "SEQUENCE", "DTSTART", "DTEND", "DURATION", "URL", "DESCRIPTION",
         TEXT_MARK}  # fmt: skip
_OFF = "X-SUPPERTIDE-OFF"  # cancelled by us, so that it is not taken for a person's change


def merge(base: bytes, there: bytes, want: bytes, *, over: bool = False, their_start: bool = False) -> bytes:
    """What to write: `want`, with everything that somebody changed in `there` since we wrote `base`.

    `over`: the step is behind us, so that nothing of it may ring any more. `their_start`: leave the times as they are
    there. Raises UnreadableEventError when `there` (or `base`) cannot be read.
    """
    calendar = read(there)
    theirs, before, ours = event_of(calendar), event_of(read(base)), event_of(read(want))
    was = instant_of(theirs)
    for name in _OURS:
        _take(theirs, ours, name)
    for name in _SHARED:
        if said(theirs, name) == said(before, name):
            _take(theirs, ours, name)
    _put(theirs, "DESCRIPTION", _merged_text(*(said(e, "DESCRIPTION") for e in (before, theirs, ours))))
    if not their_start:
        _take(theirs, ours, "DTSTART")
        _take(theirs, ours, "DTEND")
        theirs.pop("DURATION", None)
    theirs["SEQUENCE"] = vInt(max(number_of(theirs), number_of(ours)))
    merge_alarms(theirs, before, ours, instant_of(theirs) - was, over)
    return bytes(calendar.to_ical(sorted=False))


def called_off(there: bytes) -> bytes:
    """What a person made their own, when our bake is off: it stays, cancelled, and nothing of it rings.

    Raises UnreadableEventError.
    """
    calendar = read(there)
    for event in calendar.walk("VEVENT"):
        event["STATUS"] = vText("CANCELLED")
        event[_OFF] = vText("TRUE")
        event["TRANSP"] = vText("TRANSPARENT")
        event["SEQUENCE"] = vInt(number_of(event) + 1)
        event.subcomponents = [one for one in event.subcomponents if one.name != "VALARM"]
        forget_traces(event)
    return bytes(calendar.to_ical(sorted=False))


def called_back(there: bytes, want: bytes) -> bytes:
    """The reverse of `called_off`, for an event of ours that is wanted again: it stands and rings as `want` does.

    One that was not called off comes back as it is. Raises UnreadableEventError.
    """
    calendar = read(there)
    theirs, ours = event_of(calendar), event_of(read(want))
    if said(theirs, "STATUS").upper() != "CANCELLED":
        return there
    for name in (_OFF, "STATUS", "TRANSP"):
        _take(theirs, ours, name)
    rest = [one for one in theirs.subcomponents if one.name != "VALARM"]
    theirs.subcomponents = [*rest, *alarms_of(ours)]
    return bytes(calendar.to_ical(sorted=False))


def was_called_off(there: bytes) -> bool:
    """Whether we cancelled it. Raises UnreadableEventError."""
    return _OFF in event_of(read(there))


def writer_of(body: bytes) -> str:
    """The mark of the connection that wrote it last, "" for a file or a time before marks; other kitchens, and other
    addresses of the same calendar, have other marks. Raises UnreadableEventError."""
    return said(event_of(read(body)), WRITER)


def check_calendar(there: bytes) -> None:
    """Raises UnreadableEventError for what is no calendar at all, such as half of one or a web page."""
    read(there)


def made_their_own(base: bytes, there: bytes) -> bool:
    """Whether a person put something into the event that is worth keeping when ours is gone; alarms are not, nor what
    a program notes for itself.

    Raises UnreadableEventError.
    """
    theirs, before = event_of(read(there)), event_of(read(base))
    added = {name for name in theirs if name.upper() not in _FORM and _is_a_persons(theirs, name)} - set(before)
    changed = any(said(theirs, name) != said(before, name) for name in ("SUMMARY", "DESCRIPTION"))
    return bool(added - {"CLASS", "PRIORITY"}) or changed or instant_of(theirs) != instant_of(before)


def _is_a_persons(event: Any, name: str) -> bool:
    """Not what programs add on their own account (X- names, RFC 5545 3.8.8.2), nor a place that is empty."""
    return not name.upper().startswith("X-") and bool(said(event, name))


def is_off(there: bytes) -> bool:
    """Whether it stands cancelled, and nothing of it rings. Raises UnreadableEventError."""
    event = event_of(read(there))
    return said(event, "STATUS").upper() == "CANCELLED" and not alarms_of(event)


def edition_of(body: bytes) -> int:
    """How often it was changed, as it says itself (RFC 5545 3.8.7.4). Raises UnreadableEventError."""
    return number_of(event_of(read(body)))


def as_edition(there: bytes, number: int) -> bytes:
    """The same event under that number. Raises UnreadableEventError."""
    calendar = read(there)
    event_of(calendar)["SEQUENCE"] = vInt(number)
    return bytes(calendar.to_ical(sorted=False))


def start_of(body: bytes) -> int:
    """When the event starts, UTC seconds. Raises UnreadableEventError."""
    return instant_of(event_of(read(body)))


def is_of(there: bytes, want: bytes) -> bool:
    """Whether the two tell of one thing: they start together, or have one title or one link.

    Raises UnreadableEventError.
    """
    theirs, ours = event_of(read(there)), event_of(read(want))
    alike = any(said(ours, name) and said(theirs, name) == said(ours, name) for name in ("SUMMARY", "URL"))
    return alike or instant_of(theirs) == instant_of(ours)


def as_it_came(there: bytes, want: bytes) -> bytes:
    """`want` with the start that stands there, and that part of the text which a mark of ours knows again: what we must
    have written when it was added from a file. Nobody kept that, and the bake may have moved; but `want` carries the
    marks of all texts that it had, for programs that throw away the one that stood there.

    Raises UnreadableEventError.
    """
    calendar, theirs = read(want), event_of(read(there))
    ours = event_of(calendar)
    _take(ours, theirs, "DTSTART")
    stands, marks = said(theirs, "DESCRIPTION"), f"{said(theirs, TEXT_MARK)} {said(ours, TEXT_MARK)}"
    if found := next(filter(None, (_our_text(stands, mark) for mark in marks.split())), ""):
        _put(ours, "DESCRIPTION", found)
    return bytes(calendar.to_ical(sorted=False))


def _our_text(said: str, mark: str) -> str:
    """The part of it to which the mark belongs; "" where a person wrote into our text, or nothing is marked."""
    digits = mark.partition("-")[0]
    length = int(digits) if digits.isdecimal() and len(digits) < 6 else 0
    starts = range(len(said) - length + 1) if length else ()
    return next((said[i : i + length] for i in starts if text_mark(said[i : i + length]) == mark), "")


# -- writing


def _take(theirs: Any, ours: Any, name: str) -> None:
    theirs.pop(name, None)
    if name in ours:
        theirs[name] = ours[name]


def _put(event: Any, name: str, text: str) -> None:
    event.pop(name, None)
    if text:
        event[name] = vText(text)


def _merged_text(before: str, there: str, want: str) -> str:
    """Our text follows; what a person wrote around it stays where it was, and what they wrote instead comes after."""
    if not there or there == before:
        return want
    if before and before in there:
        return there.replace(before, want, 1)
    return there if want in there else f"{want}\n\n{there}"
