"""Whether two calendar texts say the same to a person, whatever a server or a program did to their form."""

from __future__ import annotations

import icalendar


def seen(body: bytes) -> object:
    """When, title, text, status and alarms of the first event; None when there is none that can be read.

    Left out is what programs change on their own: sequence numbers, stamps, and the marks that a dismissed alarm gets.
    """
    try:
        event = icalendar.Calendar.from_ical(body).walk("VEVENT")[0]
        alarms = sorted(str(alarm.decoded("TRIGGER")) for alarm in event.walk("VALARM") if "TRIGGER" in alarm)
        when = (event.decoded("DTSTART"), event.decoded("DTEND"))
        return when, str(event["SUMMARY"]), str(event["DESCRIPTION"]), str(event.get("STATUS", "")), alarms
    except (ValueError, KeyError, IndexError, AttributeError, TypeError):
        return None
