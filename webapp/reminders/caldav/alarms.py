"""The alarms of an event: whose they are, what is kept of them, whether one is still to ring.

Alarms are RFC 5545 3.6.6, snoozed and acknowledged ones RFC 9074 (sections 6 and 7).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from icalendar.prop import vDDDTypes, vInt

from webapp.reminders.caldav.event_parts import event_of, instant_of, number_of, read

_FOR_EVER = 1 << 60
_TRACES = ("SNOOZE", "LASTACK")  # inside the names of properties in which programs note a ring that was put off


def alarms_of(event: Any) -> list[Any]:
    """Its alarms that say when."""
    return [one for one in event.subcomponents if one.name == "VALARM" and "TRIGGER" in one]


def rings(body: bytes) -> bool:
    """Whether the event has an alarm. Raises UnreadableEventError."""
    return bool(alarms_of(event_of(read(body))))


def without_alarms(body: bytes) -> bytes:
    """The same with no alarm: what stands in a calendar whose server throws them away. Raises UnreadableEventError."""
    calendar = read(body)
    for event in calendar.walk("VEVENT"):
        event.subcomponents = [one for one in event.subcomponents if one.name != "VALARM"]
    return bytes(calendar.to_ical(sorted=False))


def rings_after(body: bytes, now: int) -> bool:
    """Whether an alarm of the event may ring after this instant: put off, set for later, repeated. One that cannot be
    read may. Raises UnreadableEventError."""
    event = event_of(read(body))
    alarms = alarms_of(event)
    again = "RRULE" in event or "RDATE" in event
    return bool(alarms and again) or any(_last_ring(event, one) > now for one in alarms) or _noted_after(event, now)


def silenced(body: bytes) -> bytes:
    """The same event with nothing that rings, for what is over. Raises UnreadableEventError."""
    calendar = read(body)
    for event in calendar.walk("VEVENT"):
        event.subcomponents = [one for one in event.subcomponents if one.name != "VALARM"]
        event["SEQUENCE"] = vInt(number_of(event) + 1)
        forget_traces(event)
    return bytes(calendar.to_ical(sorted=False))


def merge_alarms(theirs: Any, before: Any, ours: Any, moved_s: int, over: bool) -> None:
    """Give `theirs` the alarms that it shall have, having moved by that much. `over`: none."""
    rest = [one for one in theirs.subcomponents if one.name != "VALARM"]
    theirs.subcomponents = [*rest, *([] if over else _kept_alarms(theirs, before, ours, moved_s))]
    if moved_s or over:
        forget_traces(theirs)


def _kept_alarms(theirs: Any, before: Any, ours: Any, moved_s: int) -> Iterator[Any]:
    """The person's alarms where they changed them, else ours. A snooze belongs to the ring it put off: it stays while
    the event stays where it is, and goes when the event moves and rings anew."""
    snoozes = [one for one in alarms_of(theirs) if _is_snooze(one)]
    plain = [one for one in alarms_of(theirs) if not _is_snooze(one)]
    touched = _triggers(plain) != _triggers(alarms_of(before))
    if touched:
        yield from (_follows(one, moved_s) for one in plain)
    elif moved_s or _triggers(alarms_of(ours)) != _triggers(plain):
        yield from alarms_of(ours)
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


def is_trace(name: str) -> bool:
    """Whether programs note a ring that was put off, or dismissed, in a property of that name."""
    return name.upper().startswith("X-") and any(trace in name.upper() for trace in _TRACES)


def forget_traces(event: Any) -> None:
    """Take those notes out."""
    for name in [name for name in event if is_trace(name)]:
        event.pop(name)


# -- what is still to ring


def _last_ring(event: Any, alarm: Any) -> int:
    """When the alarm rings last (RFC 5545 3.8.6.2 and 3.8.6.3), 0 when that was acknowledged (RFC 9074 6)."""
    first = _first_ring(event, alarm)
    try:
        between = alarm.decoded("DURATION") if "DURATION" in alarm else timedelta()
        last = first + int(alarm.get("REPEAT", 0)) * int(between.total_seconds())
        seen = alarm.decoded("ACKNOWLEDGED") if "ACKNOWLEDGED" in alarm else None
    except (ValueError, AttributeError, TypeError, KeyError):
        return _FOR_EVER
    return 0 if isinstance(seen, datetime) and _utc(seen) >= last else last


def _first_ring(event: Any, alarm: Any) -> int:
    when = _trigger(alarm)
    if isinstance(when, datetime):
        return _utc(when)
    if not isinstance(when, timedelta):
        return _FOR_EVER
    at_end = str(alarm["TRIGGER"].params.get("RELATED", "")).upper() == "END"
    return (_end_of(event) if at_end else instant_of(event)) + int(when.total_seconds())


def _end_of(event: Any) -> int:
    start = instant_of(event)
    if "DTEND" in event:
        return instant_of(event, "DTEND")
    return start + int(event.decoded("DURATION").total_seconds()) if "DURATION" in event else start


def _noted_after(event: Any, now: int) -> bool:
    return any(_noted(str(event[name])) > now for name in event if is_trace(name) and "SNOOZE" in name.upper())


def _noted(text: str) -> int:
    try:
        when = vDDDTypes.from_ical(text)  # type: ignore[no-untyped-call]
    except ValueError:
        return _FOR_EVER
    return _utc(when) if isinstance(when, datetime) else _FOR_EVER


def _utc(when: datetime) -> int:
    return int((when if when.tzinfo else when.replace(tzinfo=UTC)).timestamp())
