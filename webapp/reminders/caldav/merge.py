"""Three texts of one event -> one: what we wrote last, what stands in the calendar, what we want to stand there.

What a person changed stays theirs: title, alarms, snoozes, place, categories, invited people, and everything that is
never ours. What is ours follows the bake: start, end, text, link. A start that the person changed is kept here and
asked about elsewhere (`start_of` tells it).

iCalendar is RFC 5545, snoozed and acknowledged alarms are RFC 9074 (sections 6 and 7).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import icalendar
from icalendar.prop import vInt, vText

from webapp.reminders.ics import TEXT_MARK, as_lines, text_mark

_OURS = ("DTSTAMP", "LAST-MODIFIED", "URL", TEXT_MARK)  # simply follow
_SHARED = ("SUMMARY", "TRANSP", "STATUS")  # follow until somebody changes them
_FORM = {"UID", "DTSTAMP", "LAST-MODIFIED", "CREATED", "SEQUENCE", "DTSTART", "DTEND", "DURATION", "URL", "DESCRIPTION",
         TEXT_MARK}  # fmt: skip
_OFF = "X-SUPPERTIDE-OFF"  # cancelled by us, so that it is not taken for a person's change
_TRACES = ("SNOOZE", "LASTACK")  # inside the names of properties in which programs note a ring that was put off


class UnreadableEventError(ValueError):
    """That is no calendar, or there is no event in it."""


def merge(base: bytes, there: bytes, want: bytes, *, over: bool = False, their_start: bool = False) -> bytes:
    """What to write: `want`, with everything that somebody changed in `there` since we wrote `base`.

    `over`: the step is behind us, so that nothing of it may ring any more. `their_start`: leave the times as they are
    there. Raises UnreadableEventError when `there` (or `base`) cannot be read.
    """
    calendar = _read(there)
    theirs, before, ours = _event(calendar), _event(_read(base)), _event(_read(want))
    was = _instant(theirs)
    for name in _OURS:
        _take(theirs, ours, name)
    for name in _SHARED:
        if _said(theirs, name) == _said(before, name):
            _take(theirs, ours, name)
    _put(theirs, "DESCRIPTION", _merged_text(*(_said(e, "DESCRIPTION") for e in (before, theirs, ours))))
    if not their_start:
        _take(theirs, ours, "DTSTART")
        _take(theirs, ours, "DTEND")
        theirs.pop("DURATION", None)
    theirs["SEQUENCE"] = vInt(max(_number(theirs), _number(ours)))
    _merge_alarms(theirs, before, ours, _instant(theirs) - was, over)
    return bytes(calendar.to_ical(sorted=False))


def called_off(there: bytes) -> bytes:
    """What a person made their own, when our bake is off: it stays, cancelled, and nothing of it rings.

    Raises UnreadableEventError.
    """
    calendar = _read(there)
    for event in calendar.walk("VEVENT"):
        event["STATUS"] = vText("CANCELLED")
        event[_OFF] = vText("TRUE")
        event["TRANSP"] = vText("TRANSPARENT")
        event["SEQUENCE"] = vInt(_number(event) + 1)
        event.subcomponents = [one for one in event.subcomponents if one.name != "VALARM"]
        _forget_traces(event)
    return bytes(calendar.to_ical(sorted=False))


def called_back(there: bytes, want: bytes) -> bytes:
    """The reverse of `called_off`, for an event of ours that is wanted again: it stands and rings as `want` does.

    One that was not called off comes back as it is. Raises UnreadableEventError.
    """
    calendar = _read(there)
    theirs, ours = _event(calendar), _event(_read(want))
    if _said(theirs, "STATUS").upper() != "CANCELLED":
        return there
    for name in (_OFF, "STATUS", "TRANSP"):
        _take(theirs, ours, name)
    rest = [one for one in theirs.subcomponents if one.name != "VALARM"]
    theirs.subcomponents = [*rest, *_alarms(ours)]
    return bytes(calendar.to_ical(sorted=False))


def was_called_off(there: bytes) -> bool:
    """Whether we cancelled it. Raises UnreadableEventError."""
    return _OFF in _event(_read(there))


def without_alarms(body: bytes) -> bytes:
    """The same with no alarm: what stands in a calendar whose server throws them away. Raises UnreadableEventError."""
    calendar = _read(body)
    for event in calendar.walk("VEVENT"):
        event.subcomponents = [one for one in event.subcomponents if one.name != "VALARM"]
    return bytes(calendar.to_ical(sorted=False))


def check_calendar(there: bytes) -> None:
    """Raises UnreadableEventError for what is no calendar at all, such as half of one or a web page."""
    _read(there)


def made_their_own(base: bytes, there: bytes) -> bool:
    """Whether a person put something into the event that is worth keeping when ours is gone; alarms are not.

    Raises UnreadableEventError.
    """
    theirs, before = _event(_read(there)), _event(_read(base))
    added = {name for name in theirs if name.upper() not in {*_FORM, _OFF} and not _is_trace(name)} - set(before)
    changed = any(_said(theirs, name) != _said(before, name) for name in ("SUMMARY", "DESCRIPTION"))
    return bool(added - {"CLASS", "PRIORITY"}) or changed or _instant(theirs) != _instant(before)


def start_of(body: bytes) -> int:
    """When the event starts, UTC seconds. Raises UnreadableEventError."""
    return _instant(_event(_read(body)))


def is_of(there: bytes, want: bytes) -> bool:
    """Whether the two tell of one thing: they start together, or have one title or one link.

    Raises UnreadableEventError.
    """
    theirs, ours = _event(_read(there)), _event(_read(want))
    alike = any(_said(ours, name) and _said(theirs, name) == _said(ours, name) for name in ("SUMMARY", "URL"))
    return alike or _instant(theirs) == _instant(ours)


def as_it_came(there: bytes, want: bytes) -> bytes:
    """`want` with the start that stands there, and that part of the text which our mark knows again: what we must have
    written when it was added from a file. Nobody kept that, and the bake may have moved.

    Raises UnreadableEventError.
    """
    calendar, theirs = _read(want), _event(_read(there))
    _take(_event(calendar), theirs, "DTSTART")
    if found := _our_text(_said(theirs, "DESCRIPTION"), _said(theirs, TEXT_MARK)):
        _put(_event(calendar), "DESCRIPTION", found)
    return bytes(calendar.to_ical(sorted=False))


def rings(body: bytes) -> bool:
    """Whether the event has an alarm. Raises UnreadableEventError."""
    return bool(_alarms(_event(_read(body))))


# -- reading


def _read(body: bytes) -> Any:
    try:
        return icalendar.Calendar.from_ical(body)
    except (ValueError, KeyError, IndexError, AttributeError, TypeError) as error:
        raise UnreadableEventError("no calendar") from error


def _event(calendar: Any) -> Any:
    """The event itself, not one of the exceptions that a repetition may have."""
    found = [one for one in calendar.walk("VEVENT") if "RECURRENCE-ID" not in one]
    if not found or "DTSTART" not in found[0]:
        raise UnreadableEventError("no event")
    return found[0]


def _instant(event: Any) -> int:
    """Its start; a whole day begins at midnight UTC, a time without a zone is read as UTC."""
    try:
        when = event.decoded("DTSTART")
    except (ValueError, AttributeError, TypeError, KeyError) as error:
        raise UnreadableEventError("no start") from error
    if not isinstance(when, date):
        raise UnreadableEventError("no start")
    if not isinstance(when, datetime):
        when = datetime(when.year, when.month, when.day, tzinfo=UTC)
    return int((when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp())


def _said(event: Any, name: str) -> str:
    """A property as a person would read it: ends of lines and blanks around them are a program's own affair."""
    held = event.get(name)
    texts = held if isinstance(held, list) else [held]
    return as_lines("\n".join(str(one) for one in texts if one is not None))


def _our_text(said: str, mark: str) -> str:
    """The part of it to which the mark belongs; "" where a person wrote into our text, or nothing is marked."""
    digits = mark.partition("-")[0]
    length = int(digits) if digits.isdecimal() and len(digits) < 6 else 0
    starts = range(len(said) - length + 1) if length else ()
    return next((said[i : i + length] for i in starts if text_mark(said[i : i + length]) == mark), "")


def _number(event: Any) -> int:
    held = event.get("SEQUENCE")
    return int(held) if isinstance(held, int) else 0


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


# -- alarms


def _alarms(event: Any) -> list[Any]:
    return [one for one in event.subcomponents if one.name == "VALARM" and "TRIGGER" in one]


def _merge_alarms(theirs: Any, before: Any, ours: Any, moved_s: int, over: bool) -> None:
    rest = [one for one in theirs.subcomponents if one.name != "VALARM"]
    theirs.subcomponents = [*rest, *([] if over else _kept_alarms(theirs, before, ours, moved_s))]
    if moved_s or over:
        _forget_traces(theirs)


def _kept_alarms(theirs: Any, before: Any, ours: Any, moved_s: int) -> Iterator[Any]:
    """The person's alarms where they changed them, else ours. A snooze belongs to the ring it put off: it stays while
    the event stays where it is, and goes when the event moves and rings anew."""
    snoozes = [one for one in _alarms(theirs) if _is_snooze(one)]
    plain = [one for one in _alarms(theirs) if not _is_snooze(one)]
    touched = _triggers(plain) != _triggers(_alarms(before))
    if touched:
        yield from (_follows(one, moved_s) for one in plain)
    elif moved_s or _triggers(_alarms(ours)) != _triggers(plain):
        yield from _alarms(ours)
    else:
        yield from plain
    if not moved_s:
        yield from snoozes


def _is_snooze(alarm: Any) -> bool:
    related = alarm.get("RELATED-TO", [])
    links = related if isinstance(related, list) else [related]
    return any(str(one.params.get("RELTYPE", "")).upper() == "SNOOZE" for one in links)


def _triggers(alarms: list[Any]) -> list[str]:
    return sorted(f"{one['TRIGGER'].params.get('RELATED', 'START')} {_trigger(one)}" for one in alarms)


def _trigger(alarm: Any) -> object:
    try:
        return alarm.decoded("TRIGGER")
    except (ValueError, AttributeError, TypeError, KeyError):
        return str(alarm["TRIGGER"])


def _follows(alarm: Any, moved_s: int) -> Any:
    """A person's own alarm beside an event that moved: one at a fixed time moves along, one that rang rings again."""
    when = _trigger(alarm)
    if moved_s and isinstance(when, datetime):
        alarm.pop("TRIGGER")
        alarm.add("TRIGGER", when.astimezone(UTC) + timedelta(seconds=moved_s), parameters={"VALUE": "DATE-TIME"})
    if moved_s:
        alarm.pop("ACKNOWLEDGED", None)
    return alarm


def _is_trace(name: str) -> bool:
    return name.upper().startswith("X-") and any(trace in name.upper() for trace in _TRACES)


def _forget_traces(event: Any) -> None:
    for name in [name for name in event if _is_trace(name)]:
        event.pop(name)
