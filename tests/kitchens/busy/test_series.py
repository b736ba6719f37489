"""Series of the plain kind against a library that expands every kind (recurring-ical-events): same days, same hours.

The library is asked for three days more at both ends: it counts whole days by UTC, we by the kitchen's clock.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events
from hypothesis import given
from hypothesis import strategies as st

from webapp.kitchens.busy import reader as busy_reader
from webapp.kitchens.busy.events import FileEvent, taken_apart
from webapp.kitchens.busy.reader import busy_spans
from webapp.kitchens.busy.series import NotPlainError, plain_series
from webapp.machine.own_limits import TakesLongError, not_for_ever

KITCHEN = ZoneInfo("Europe/Lisbon")
START = 1795564800  # 2026-11-25T00:00:00Z
WEEKS_S = 56 * 86400
DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


def file_of(*events: tuple[str, ...]) -> bytes:
    rows = [row for event in events for row in ("BEGIN:VEVENT", "UID:1", *event, "END:VEVENT")]
    return "\r\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", *rows, "END:VCALENDAR", ""]).encode()


def apart(*events: tuple[str, ...]) -> bytes:
    """The same, each event with a name of its own."""
    ics = file_of(*events)
    for number in range(len(events)):
        ics = ics.replace(b"UID:1\r", f"UID:n{number}\r".encode(), 1)
    return ics


@pytest.fixture
def in_vain(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Seconds of patience that ended with no answer."""
    waits: list[float] = []

    @contextmanager
    def watched(seconds: float) -> Iterator[None]:
        try:
            with not_for_ever(seconds):
                yield
        except TakesLongError:
            waits.append(seconds)
            raise

    monkeypatch.setattr(busy_reader, "not_for_ever", watched)
    return waits


def rows_of(ics: bytes) -> list[FileEvent]:
    return taken_apart(ics)[1]


def by_the_library(ics: bytes, start: int, end: int) -> set[tuple[int, int]]:
    window = (datetime.fromtimestamp(at, UTC) for at in (start - 3 * 86400, end + 3 * 86400))
    found = recurring_ical_events.of(icalendar.Calendar.from_ical(ics)).between(*window)
    spans = {(instant(event.start), instant(event.end)) for event in found}
    return {(s, e) for s, e in spans if s < end and e > start and e > s}


def instant(when: datetime) -> int:
    if not isinstance(when, datetime):
        when = datetime(when.year, when.month, when.day, tzinfo=KITCHEN)
    return int((when if when.tzinfo else when.replace(tzinfo=KITCHEN)).timestamp())


@st.composite
def series(draw: st.DrawFn) -> tuple[bytes, int]:
    """A repeating event of any plain kind, and when to look at it."""
    kind = draw(st.sampled_from(["date", "utc", "floating", "Europe/Berlin", "America/New_York", "Asia/Kolkata"]))
    param = {"date": ";VALUE=DATE", "utc": "", "floating": ""}.get(kind, f";TZID={kind}")

    def said(when: datetime) -> str:
        form = "%Y%m%d" if kind == "date" else "%Y%m%dT%H%M00" + "Z" * (kind == "utc")
        return when.strftime(form)

    begin = draw(st.datetimes(datetime(1985, 1, 1), datetime(2027, 3, 1))).replace(second=0, microsecond=0)
    minutes = draw(st.sampled_from([0, 30, 60, 600, 1440, 4000]))
    length = timedelta(minutes=minutes) if kind != "date" else timedelta(days=1 + minutes // 1440)
    lines = [f"DTSTART{param}:{said(begin)}", f"DTEND{param}:{said(begin + length)}"]
    rule = draw(
        st.sampled_from(
            ["DAILY", "DAILY;BYDAY=MO,WE", "WEEKLY", "WEEKLY;BYDAY=MO,WE,FR", "WEEKLY;BYDAY=SU,TU;WKST=SU", "MONTHLY",
             "MONTHLY;BYDAY=2TU", "MONTHLY;BYDAY=-1FR", "MONTHLY;BYMONTHDAY=-1", "MONTHLY;BYMONTHDAY=1,15,31",
             "YEARLY", "YEARLY;BYMONTH=11,12,1", "MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"]
        )
    )  # fmt: skip
    rule += f";INTERVAL={draw(st.sampled_from([1, 1, 2, 3, 5, 14]))}"
    ends = draw(st.sampled_from(["", "", "COUNT", "UNTIL"]))
    if ends == "COUNT":
        rule += f";COUNT={draw(st.integers(1, 3000))}"
    elif ends:
        until = draw(st.datetimes(datetime(2026, 1, 1), datetime(2027, 6, 1)))
        rule += f";UNTIL={until:%Y%m%d}" if kind == "date" else f";UNTIL={until:%Y%m%dT%H%M00}Z"
    lines.append(f"RRULE:FREQ={rule}")
    out = draw(st.lists(st.integers(0, 60), max_size=5))
    if out:
        days = [begin.replace(year=2026, month=11, day=1) + timedelta(days=day) for day in out]
        lines.append(f"EXDATE{param}:" + ",".join(map(said, days)))
    return file_of(tuple(lines)), START + draw(st.integers(-300, 300)) * 86400


@given(series())
def test_a_plain_series_falls_where_the_library_says_too(drawn: tuple[bytes, int]) -> None:
    ics, start = drawn
    try:
        _, spans, _ = plain_series(rows_of(ics), start, start + WEEKS_S, KITCHEN)
    except NotPlainError:
        return
    assert {one for one in spans if one[1] > one[0]} == by_the_library(ics, start, start + WEEKS_S)


@pytest.mark.parametrize("end", ["DTEND:20100101T093000Z", "DURATION:PT30M"])
def test_a_series_of_sixteen_years_is_not_walked_day_by_day(end: str) -> None:
    """2026-11-25 is a Wednesday; every day at 9:00 for 56 days."""
    ics = file_of(("DTSTART:20100101T090000Z", end, "RRULE:FREQ=DAILY"))
    _, spans, _ = plain_series(rows_of(ics), START, START + WEEKS_S, KITCHEN)
    assert spans == [(START + 86400 * day + 9 * 3600, START + 86400 * day + 9 * 3600 + 1800) for day in range(56)]


MONTHLY = ("DTSTART:20260105T090000Z", "DTEND:20260105T100000Z", "RRULE:FREQ=MONTHLY")


@pytest.mark.parametrize(
    "exception",
    [
        ("RECURRENCE-ID:20261205T090000Z", "DTSTART:20261206T120000Z", "DTEND:20261206T130000Z"),
        ("RECURRENCE-ID:20261205T090000Z", "DTSTART:20261205T090000Z", "DTEND:20261205T100000Z", "STATUS:CANCELLED"),
        ("RECURRENCE-ID;TZID=Europe/Berlin:20261205T100000", "DTSTART:20261207T120000Z", "DURATION:P1D"),
        ("RECURRENCE-ID;RANGE=THISANDFUTURE:20261205T090000Z", "DTSTART:20261205T110000Z", "DTEND:20261205T120000Z"),
        ("RECURRENCE-ID:20260705T090000Z", "DTSTART:20261225T120000Z", "DTEND:20261225T130000Z"),
    ],
)
def test_a_series_with_an_exception_is_busy_when_the_library_says(exception: tuple[str, ...]) -> None:
    ics = file_of(MONTHLY, exception)
    cancelled = "STATUS:CANCELLED" in exception
    wanted = by_the_library(ics, START, START + WEEKS_S)
    if cancelled:
        wanted = {one for one in wanted if datetime.fromtimestamp(one[0], UTC).month != 12}
    found, notes = busy_spans(ics, START, START + WEEKS_S, KITCHEN)
    assert ({(one.start, one.end) for one in found}, notes) == (wanted, [])


@pytest.mark.parametrize(
    "lines",
    [
        (*MONTHLY, "RDATE:20261201T090000Z"),
        (*MONTHLY, "RRULE:FREQ=DAILY"),
        (MONTHLY[0], "DTEND;VALUE=DATE:20260106", MONTHLY[2]),
        (*MONTHLY[:2], "RRULE:FREQ=MONTHLY;BYWEEKNO=3"),
        (*MONTHLY[:2], "RRULE:FREQ=HOURLY"),
        (*MONTHLY[:2], "RRULE:FREQ=MONTHLY;UNTIL=20261224"),
        (*MONTHLY[:2], "RRULE:FREQ=MONTHLY;INTERVAL=0"),
        (*MONTHLY[:2], "RRULE:FREQ=MONTHLY;COUNT=5;UNTIL=20261224T000000Z"),
        (*MONTHLY[:2], "RRULE:FREQ=MONTHLY;BYDAY=XX"),
        (*MONTHLY, "EXDATE;VALUE=DATE:20261205"),
        ("DTSTART;TZID=Own/Zone:20260105T090000", MONTHLY[2]),
        ("DTSTART:20260145T090000Z", MONTHLY[2]),
        ("DTSTART:garbage", MONTHLY[2]),
        (MONTHLY[0], "DTEND:20260105T080000Z", MONTHLY[2]),
        (*MONTHLY, "DURATION:PT1H"),
        (MONTHLY[0], "DURATION:-PT1H", MONTHLY[2]),
        (MONTHLY[1], MONTHLY[2]),
    ],
)
def test_what_is_not_of_the_plain_kind_is_left_to_the_library(lines: tuple[str, ...]) -> None:
    with pytest.raises(NotPlainError):
        plain_series(rows_of(file_of(lines)), START, START + WEEKS_S, KITCHEN)


def test_a_rule_that_never_comes_true_is_named_and_the_others_count() -> None:
    """There is no 30th of February, and dateutil looks for it until the year 9999."""
    never = ("DTSTART:20260105T090000Z", "DTEND:20260105T100000Z", "RRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30")
    once = ("DTSTART:20261126T090000Z", "DTEND:20261126T100000Z")
    ics = file_of(never, once).replace(b"UID:1", b"UID:2", 1)
    found, notes = busy_spans(ics, START, START + WEEKS_S, KITCHEN)
    assert [(one.start, one.end) for one in found] == [(START + 33 * 3600, START + 34 * 3600)]
    assert notes == ["Left out event 1 of the file (20260105T090000Z): it cannot be read."]


# The rules of central Europe since 1996 as a calendar program writes them out, and as one that knows no summer does
# (RFC 5545 3.6.5); the first name is the one that office programs have for them (Unicode CLDR, windowsZones).
SUMMER_TOO = """BEGIN:VTIMEZONE
TZID:{}
BEGIN:STANDARD
DTSTART:19961027T030000
TZOFFSETFROM:+0200
TZOFFSETTO:+0100
RRULE:FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:19960331T020000
TZOFFSETFROM:+0100
TZOFFSETTO:+0200
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU
END:DAYLIGHT
END:VTIMEZONE
""".replace("\n", "\r\n")


@pytest.mark.parametrize("described", [True, False])
def test_a_zone_named_as_office_programs_name_it_is_still_of_the_plain_kind(described: bool) -> None:
    """9:00 in central Europe is 7:00 by UTC in October's summer time and 8:00 after it (25 October 2026)."""
    name = "W. Europe Standard Time"
    ics = file_of((f"DTSTART;TZID={name}:20260907T090000", "DURATION:PT1H", "RRULE:FREQ=WEEKLY"))
    if described:
        ics = ics.replace(b"BEGIN:VEVENT", SUMMER_TOO.format(name).encode() + b"BEGIN:VEVENT", 1)
    since = int(datetime(2026, 10, 19, tzinfo=UTC).timestamp())
    found, notes = busy_spans(ics, since, since + 14 * 86400, KITCHEN)  # reads what the file says of its zones first
    _, spans, _ = plain_series(rows_of(ics), since, since + 14 * 86400, KITCHEN)
    assert [datetime.fromtimestamp(begin, UTC).strftime("%d %H:%M") for begin, _ in spans] == ["19 07:00", "26 08:00"]
    assert ([(one.start, one.end) for one in found], notes) == (spans, [])


def test_a_zone_that_only_the_file_knows_is_taken_as_the_file_describes_it() -> None:
    name = "Bakery summer and winter"
    zone = SUMMER_TOO.format(name).encode() + b"BEGIN:VEVENT"
    ics = file_of((f'DTSTART;TZID="{name}":20260907T090000', "DURATION:PT1H", "RRULE:FREQ=WEEKLY")).replace(
        b"BEGIN:VEVENT", zone, 1
    )
    since = int(datetime(2026, 10, 19, tzinfo=UTC).timestamp())
    found, _ = busy_spans(ics, since, since + 14 * 86400, KITCHEN)
    _, spans, _ = plain_series(rows_of(ics), since, since + 14 * 86400, KITCHEN)
    assert [datetime.fromtimestamp(begin, UTC).strftime("%d %H:%M") for begin, _ in spans] == ["19 07:00", "26 08:00"]
    assert [(one.start, one.end) for one in found] == spans


@pytest.mark.parametrize(
    "rule", ["RRULE:FREQ=WEEKLY;INTERVAL=0", "RRULE:INTERVAL=00;FREQ=DAILY", "RRULE:FREQ=DAILY;COUNT=0"]
)
def test_many_rules_with_a_step_of_nothing_are_named_at_once(rule: str, in_vain: list[float]) -> None:
    """RFC 5545 3.3.10: INTERVAL is a positive integer. Each of the twenty took a library two seconds to give up."""
    broken = [(f"DTSTART:202601{day:02}T100000Z", rule) for day in range(1, 21)]
    once = ("DTSTART:20261126T090000Z", "DTEND:20261126T100000Z")
    found, notes = busy_spans(apart(*broken, once), START, START + WEEKS_S, KITCHEN)
    assert in_vain == []
    assert [(one.start, one.end) for one in found] == [(START + 33 * 3600, START + 34 * 3600)]
    assert notes == [
        *(f"Left out event {place} of the file (202601{place:02}T100000Z): it cannot be read." for place in (1, 2, 3)),
        "And 17 more that cannot be read.",
    ]


def test_each_rule_that_never_comes_true_is_waited_for_less_than_the_one_before(in_vain: list[float]) -> None:
    """The whole file has 8 s; eight such rules took 2 s each: now half of the one before."""
    never = ("DTSTART:20260105T090000Z", "DTEND:20260105T100000Z", "RRULE:FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30")
    ics = apart(*[never] * 8, ("DTSTART:20261126T090000Z", "DTEND:20261126T100000Z"))
    found, notes = busy_spans(ics, START, START + WEEKS_S, KITCHEN)
    assert in_vain == [2.0, 1.0, 0.5, *[0.25] * 5]
    assert sum(in_vain) < 7
    assert [(one.start, one.end) for one in found] == [(START + 33 * 3600, START + 34 * 3600)]
    assert notes[-1] == "And 5 more that cannot be read."


def test_a_step_of_our_own_is_known_in_capitals_too() -> None:
    ours = ("DTSTART:20261126T090000Z", "DTEND:20261126T100000Z")
    ics = file_of(ours).replace(b"UID:1", b"UID:0A-MIX@SUPPERTIDE")
    assert busy_spans(ics, START, START + WEEKS_S, KITCHEN) == ([], ["Left out 1 step of your own bakes."])
