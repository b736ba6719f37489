"""What a person does to an event on a phone, and what a phone would show: with icalendar alone, so that it runs in the
environment of another calendar client too.

    python -m tests.by_hand.phone_edits URL USER PASSWORD < actions.json

reads a list of [verb, uid, ...] and carries it out on the person's first calendar with the `caldav` package; the answer
is what stands there afterwards, by UID.
"""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime, timedelta
from typing import Any

import icalendar


def edit(calendar: Any, verb: str, *more: Any) -> None:
    """Do it to the one event of this calendar object."""
    event = calendar.walk("VEVENT")[0]
    {"snooze": snooze, "rename": rename, "invite": invite, "place": place, "move": move, "alarm": alarm}[verb](
        event, *more
    )


def snooze(event: Any, at: int) -> None:
    """Put off the alarm that rings, as RFC 9074 section 7 has it: acknowledged, and a second one that belongs to it."""
    ring = event.walk("VALARM")[0]
    when = datetime.fromtimestamp(at, UTC)
    ring["UID"] = "ring-1"
    ring.add("ACKNOWLEDGED", when)
    again = icalendar.Alarm()
    again.add("ACTION", "DISPLAY")
    again.add("DESCRIPTION", "again")
    again.add("TRIGGER", when + timedelta(minutes=5), parameters={"VALUE": "DATE-TIME"})
    again.add("RELATED-TO", "ring-1", parameters={"RELTYPE": "SNOOZE"})
    event.add_component(again)


def rename(event: Any, title: str) -> None:
    """Another title."""
    event["SUMMARY"] = icalendar.vText(title)


def invite(event: Any, whom: str) -> None:
    """Ask somebody along."""
    event.add("ORGANIZER", "mailto:me@example.org")
    event.add("ATTENDEE", f"mailto:{whom}", parameters={"PARTSTAT": "NEEDS-ACTION", "RSVP": "TRUE"})


def place(event: Any, where: str, category: str) -> None:
    """A place, a category, and free instead of busy."""
    event.add("LOCATION", where)
    event.add("CATEGORIES", [category])
    event["TRANSP"] = icalendar.vText("TRANSPARENT")


def move(event: Any, by_s: int) -> None:
    """Another start and end."""
    for name in ("DTSTART", "DTEND"):
        when = event[name].dt + timedelta(seconds=by_s)
        del event[name]
        event.add(name, when)


def alarm(event: Any, minutes: int) -> None:
    """One's own alarm in place of ours."""
    ring = event.walk("VALARM")[0]
    del ring["TRIGGER"]
    ring.add("TRIGGER", timedelta(minutes=-minutes))


def shown(calendar: Any) -> tuple[str, dict[str, Any]]:
    """UID, and what a phone would show and ring of the event; alarms as instants."""
    event = calendar.walk("VEVENT")[0]
    start = int(event["DTSTART"].dt.timestamp())
    guests = event.get("ATTENDEE", [])
    off = str(event.get("STATUS", "")) == "CANCELLED"
    return str(event["UID"]), {
        "start": start,
        "end": int(event["DTEND"].dt.timestamp()),
        "title": str(event.get("SUMMARY", "")),
        "place": str(event.get("LOCATION", "")),
        "category": event["CATEGORIES"].to_ical().decode() if "CATEGORIES" in event else "",
        "guests": [str(one) for one in (guests if isinstance(guests, list) else [guests])],
        "free": str(event.get("TRANSP", "")) == "TRANSPARENT",
        "off": off,
        "rings": [] if off else sorted(_rings(one, start) for one in event.walk("VALARM")),
    }


def _rings(ring: Any, start: int) -> int:
    trigger = ring["TRIGGER"].dt
    return start + int(trigger.total_seconds()) if isinstance(trigger, timedelta) else int(trigger.timestamp())


def main() -> None:
    """As above."""
    import caldav

    url, user, password = sys.argv[1:]
    calendar = caldav.DAVClient(url=url, username=user, password=password).principal().calendars()[0]
    for verb, uid, *more in json.load(sys.stdin):
        (event,) = (one for one in calendar.events() if str(one.icalendar_component["UID"]) == uid)
        held = event.icalendar_instance
        edit(held, verb, *more)
        event.data = held.to_ical().decode()
        event.save()
    print(json.dumps(dict(shown(one.icalendar_instance) for one in calendar.events())))


if __name__ == "__main__":
    main()
