"""What other programs read in our calendar files: three independent parsers, all to the second.

vobject, ics (a grammar of its own) and icalendar share no parsing code; none of them wrote the file. The clock-change
nights are those of the IANA zone database for 2026 and 2027 (tzdata); the expected instants are the plan's own
integers, so a reader that agrees has read UTC as UTC.
"""

from __future__ import annotations

import dataclasses
import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import ics
import pytest
import vobject

from tests.profiles import thorough
from tests.reminders.calendars import calendar_for, entries_for
from tests.samples import sample_plan
from webapp.core.plan.plan import Plan
from webapp.reminders.ics import Entry, clean, write_calendar

Reading = tuple[str, int, int, str, str, str, tuple[int, ...]]
_ZONES = ("Europe/London", "America/New_York", "Australia/Lord_Howe", "America/Santiago")
_YEAR = range(
    int(datetime(2026, 6, 1, tzinfo=UTC).timestamp()), int(datetime(2027, 6, 1, tzinfo=UTC).timestamp()), 3600
)


def by_vobject(data: bytes) -> dict[str, Reading]:
    found = {}
    for e in vobject.readOne(data.decode()).contents.get("vevent", []):
        alarms = tuple(int(a.trigger.value.total_seconds()) for a in e.contents.get("valarm", []))
        found[e.uid.value] = (
            e.uid.value, int(e.dtstart.value.timestamp()), int(e.dtend.value.timestamp()), e.summary.value,
            e.description.value, e.status.value, alarms,
        )  # fmt: skip
    return found


def by_ics(data: bytes) -> dict[str, Reading]:
    found = {}
    for e in ics.Calendar(data.decode()).events:
        alarms = tuple(int(a.trigger.total_seconds()) for a in e.alarms)
        found[e.uid] = (
            e.uid, int(e.begin.timestamp()), int(e.end.timestamp()), e.name or "", e.description or "", e.status or "",
            alarms,
        )  # fmt: skip
    return found


def by_icalendar(data: bytes) -> dict[str, Reading]:
    found = {}
    for e in icalendar.Calendar.from_ical(data).walk("VEVENT"):
        alarms = tuple(int(a["TRIGGER"].dt.total_seconds()) for a in e.walk("VALARM"))
        found[str(e["UID"])] = (
            str(e["UID"]), int(e["DTSTART"].dt.timestamp()), int(e["DTEND"].dt.timestamp()), str(e["SUMMARY"]),
            str(e["DESCRIPTION"]), str(e["STATUS"]), alarms,
        )  # fmt: skip
    return found


READERS = [by_vobject, by_ics, by_icalendar]


def expected(entries: tuple[Entry, ...]) -> dict[str, Reading]:
    return {
        e.uid: (
            e.uid, e.start, e.end, clean(e.title), clean(e.text), "CANCELLED" if e.cancelled else "CONFIRMED",
            (-60 * e.alarm_min,) if e.alarm_min >= 0 else (),
        )
        for e in entries
    }  # fmt: skip


def moved(plan: Plan, by_s: int, zone: str) -> Plan:
    steps = tuple(dataclasses.replace(s, start=s.start + by_s, end=s.end + by_s) for s in plan.steps)
    return dataclasses.replace(plan, zone=zone, steps=steps, bake_id=f"bake{by_s}")


def change_nights(zone: str) -> list[int]:
    """The instants of a year at which that zone's offset changes, to the hour, from the zone database."""
    offset = [datetime.fromtimestamp(t, ZoneInfo(zone)).utcoffset() for t in _YEAR]
    return [t for t, before, after in zip(_YEAR[1:], offset, offset[1:], strict=False) if before != after]


@pytest.mark.parametrize("zone", _ZONES)
def test_three_readers_agree_on_every_instant_of_both_clock_change_nights(zone: str) -> None:
    """The mixing swept in 30-minute steps from six hours before to six hours after each change."""
    nights = change_nights(zone)
    assert len(nights) == 2, "two changes a year in these zones"
    mix = sample_plan().steps[0].start
    shifts = [night + minutes * 60 - mix for night in nights for minutes in range(-360, 361, 30)]
    entries = tuple(e for by_s in shifts for e in entries_for(moved(sample_plan(), by_s, zone))[:3])
    data = write_calendar(entries)
    for reader in READERS:
        assert reader(data) == expected(entries)


@pytest.mark.parametrize("zone", _ZONES)
def test_the_local_time_in_the_text_names_the_true_instant_even_in_the_doubled_hour(zone: str) -> None:
    """Read back with strptime's own offset arithmetic: text to instant gives the start again."""
    mix = sample_plan().steps[0].start
    for night in change_nights(zone):
        for minutes in range(-120, 121, 15):
            entry = entries_for(moved(sample_plan(), night + minutes * 60 - mix, zone))[0]
            said = entry.text.split("\n")[0]
            year = datetime.fromtimestamp(entry.start, ZoneInfo(zone)).year
            when, _, offset = said.replace(f" ({zone}, UTC", "|").rstrip(")").partition("|")
            when, _, which = when.partition(" (")  # of an hour that comes twice also which of them
            assert which in (
                f"{'second' if datetime.fromtimestamp(entry.start, ZoneInfo(zone)).fold else 'first'} time)",
                "",
            )
            read = datetime.strptime(f"{year} {when.partition(' ')[2]} {offset}", "%Y %d %B, %H:%M %z")
            assert read.timestamp() == entry.start


def _any_text(rng: random.Random) -> str:
    alphabet = "abc ,;:\\\"'\n\r\t\x00\x07éß🍕‍مש\u2028=^%{}<>&"
    return "".join(rng.choice(alphabet) for _ in range(rng.randrange(1, 120))).strip() or "x"


def _any_plan(rng: random.Random, number: int) -> Plan:
    plan = sample_plan(f"plan{number}")
    start = rng.randrange(0, 4_000_000_000)
    steps = []
    for step in rng.sample(plan.steps, 2):
        start += rng.randrange(0, 90_000)
        alarm = rng.choice((-1, 0, 1, 5, 59, 60, 90, 1440))
        end = start + rng.randrange(0, 7200)
        title = "t" + _any_text(rng)
        steps.append(dataclasses.replace(step, start=start, end=end, title=title, text=_any_text(rng), alarm_min=alarm))
    zone = rng.choice((*_ZONES, "UTC", "Asia/Kathmandu", "Pacific/Kiritimati"))
    return dataclasses.replace(plan, steps=tuple(steps), zone=zone, made_at=start)


def test_hundreds_of_plans_come_back_as_they_went_out() -> None:
    """Calendars of a hundred plans each, read by two parsers, the first also by the slow third; a thousand if thorough.

    Blanks at the very ends of a text are the parsers' own affair, so they are compared without.
    """
    rng = random.Random(20261125)
    for batch in range(10 if thorough() else 2):
        plans = [_any_plan(rng, batch * 100 + n) for n in range(100)]
        entries = tuple(e for p in plans for e in entries_for(p, cancelled=rng.random() < 0.1))
        data = write_calendar(entries)
        for reader in READERS if batch < (2 if thorough() else 1) else (by_vobject, by_icalendar):
            assert _trimmed(reader(data)) == _trimmed(expected(entries))


def _trimmed(found: dict[str, Reading]) -> dict[str, Reading]:
    return {k: (v[0], v[1], v[2], v[3].strip(), v[4].strip(), v[5], v[6]) for k, v in found.items()}


def test_links_and_history_are_read_as_written() -> None:
    data = calendar_for(sample_plan(), origin="https://example.org")
    event = icalendar.Calendar.from_ical(data).walk("VEVENT")[0]
    assert str(event["URL"]) == f"https://example.org/bakes/{'b' * 22}#step-mix"
    assert event["SEQUENCE"] == 0
    assert event["LAST-MODIFIED"].dt == event["DTSTAMP"].dt == event["CREATED"].dt
    assert event.walk("VALARM")[0]["TRIGGER"].dt == timedelta(minutes=-10)
