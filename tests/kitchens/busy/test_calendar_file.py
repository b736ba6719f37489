"""Importing somebody's own busy times: what counts, what does not, and files made to hang a reader."""

from __future__ import annotations

import time
from zoneinfo import ZoneInfo

import pytest

from webapp.core.day.span import Span
from webapp.core.errors import PlanError
from webapp.kitchens.busy import calendar_file
from webapp.kitchens.busy.calendar_file import MOST_BUSY_EVENTS, read_busy
from webapp.kitchens.busy.events import UnreadableCalendarError
from webapp.kitchens.busy.reader import busy_spans

DAY = 1795564800  # 2026-11-25T00:00:00Z
WEEK = 7 * 86400
LISBON = ZoneInfo("Europe/Lisbon")


def calendar(*events: str) -> bytes:
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//own//test//EN"]
    for number, event in enumerate(events):
        lines += ["BEGIN:VEVENT", f"UID:{number}@test", "DTSTAMP:20261101T000000Z", *event.split("\n"), "END:VEVENT"]
    return ("\r\n".join([*lines, "END:VCALENDAR"]) + "\r\n").encode()


def times(start: str, end: str, *more: str) -> str:
    return "\n".join([f"DTSTART:{start}", f"DTEND:{end}", "SUMMARY:A secret meeting", *more])


def spans(ics: bytes, zone: ZoneInfo = LISBON) -> list[Span]:
    return busy_spans(ics, DAY, DAY + WEEK, zone)[0]


def hour(h: float, day: int = 0) -> int:
    return DAY + day * 86400 + int(h * 3600)


def problem(ics: bytes, **limits: float) -> str:
    with pytest.raises(PlanError) as caught:
        read_busy(ics, DAY, DAY + WEEK, "Europe/Lisbon", **limits)
    (one,) = caught.value.problems
    assert one.field == "busy"
    assert one.way_out
    return one.message


def test_a_meeting_comes_back_as_start_and_end_and_nothing_else() -> None:
    read = read_busy(calendar(times("20261125T100000Z", "20261125T113000Z")), DAY, DAY + WEEK, "Europe/Lisbon")
    assert read == calendar_file.BusyTimes((Span(hour(10), hour(11.5)),))
    assert "secret" not in repr(read)


def test_times_in_a_zone_and_floating_times_become_instants() -> None:
    berlin = "DTSTART;TZID=Europe/Berlin:20261125T100000\nDTEND;TZID=Europe/Berlin:20261125T110000"
    assert spans(calendar(berlin)) == [Span(hour(9), hour(10))]
    floating = times("20261125T100000", "20261125T110000")
    assert spans(calendar(floating), ZoneInfo("Asia/Tokyo")) == [Span(hour(1), hour(2))]


def test_a_whole_day_is_the_kitchens_day() -> None:
    whole = "DTSTART;VALUE=DATE:20261126\nDTEND;VALUE=DATE:20261127"
    assert spans(calendar(whole), ZoneInfo("Pacific/Marquesas")) == [Span(hour(9.5, 1), hour(33.5, 1))]
    without_end = "DTSTART;VALUE=DATE:20261126"
    assert spans(calendar(without_end)) == [Span(hour(0, 1), hour(24, 1))]


@pytest.mark.parametrize("mark", ["TRANSP:TRANSPARENT", "STATUS:CANCELLED", "X-MICROSOFT-CDO-BUSYSTATUS:FREE"])
def test_what_does_not_make_busy_does_not_count(mark: str) -> None:
    both = calendar(times("20261125T100000Z", "20261125T110000Z", mark), times("20261125T120000Z", "20261125T130000Z"))
    assert spans(both) == [Span(hour(12), hour(13))]


def test_a_weekly_event_is_expanded_with_its_exceptions() -> None:
    daily = times("20261101T080000Z", "20261101T090000Z", "RRULE:FREQ=DAILY", "EXDATE:20261126T080000Z")
    assert spans(calendar(daily)) == [Span(hour(8, d), hour(9, d)) for d in (0, 2, 3, 4, 5, 6)]


def test_one_cancelled_day_of_a_series_is_free_again() -> None:
    series = times("20261125T080000Z", "20261125T090000Z", "RRULE:FREQ=DAILY;COUNT=3")
    moved = times("20261126T080000Z", "20261126T090000Z", "RECURRENCE-ID:20261126T080000Z", "STATUS:CANCELLED")
    ics = calendar(series, moved).replace(b"UID:1@test", b"UID:0@test")
    assert spans(ics) == [Span(hour(8), hour(9)), Span(hour(8, 2), hour(9, 2))]


def test_overlapping_events_are_one_stretch_and_the_window_cuts() -> None:
    ics = calendar(
        times("20261124T230000Z", "20261125T020000Z"),
        times("20261125T010000Z", "20261125T030000Z"),
        times("20261020T010000Z", "20261020T030000Z"),
    )
    assert spans(ics) == [Span(DAY, hour(3))]


def test_a_free_busy_file_counts_its_busy_periods() -> None:
    rows = (
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VFREEBUSY\r\nUID:1\r\nDTSTAMP:20261125T000000Z\r\n"
        b"FREEBUSY;FBTYPE=BUSY:20261125T100000Z/20261125T110000Z,20261125T120000Z/PT1H\r\n"
        b"FREEBUSY;FBTYPE=FREE:20261125T150000Z/PT1H\r\nEND:VFREEBUSY\r\nEND:VCALENDAR\r\n"
    )
    assert spans(rows) == [Span(hour(10), hour(11)), Span(hour(12), hour(13))]
    one = rows.replace(b",20261125T120000Z/PT1H", b"").replace(b"FREEBUSY;FBTYPE=FREE:20261125T150000Z/PT1H\r\n", b"")
    assert spans(one) == [Span(hour(10), hour(11))]


def test_a_clock_change_night_keeps_its_elapsed_hours() -> None:
    # Lisbon goes back from 02:00 to 01:00 on 2026-10-25: a floating event 00:00-04:00 takes five hours.
    night = times("20261025T000000", "20261025T040000")
    start = 1792882800  # 2026-10-24T23:00:00Z, midnight in Lisbon (UTC+1)
    found, _ = busy_spans(calendar(night), start - 86400, start + 86400, LISBON)
    assert found == [Span(start, start + 5 * 3600)]


def test_an_event_of_forty_years_is_left_out_and_said_so() -> None:
    ics = calendar(times("19900101T000000Z", "20300101T000000Z"), times("20261125T120000Z", "20261125T130000Z"))
    read = read_busy(ics, DAY, DAY + WEEK, "Europe/Lisbon")
    assert read.spans == (Span(hour(12), hour(13)),)
    assert read.notes == ("Left out 1 event that lasts longer than 60 days: taken for a note.",)


def test_ten_thousand_events_are_refused_before_they_are_read() -> None:
    event = times("20261125T100000Z", "20261125T110000Z")
    ics = calendar(*[event.replace("\nSUMMARY:A secret meeting", "")] * 10_000)
    if len(ics) <= calendar_file.MOST_FILE_BYTES:
        assert "10,000 events" in problem(ics)
    short = b"BEGIN:VCALENDAR\r\n" + b"BEGIN:VEVENT\r\nEND:VEVENT\r\n" * 10_000 + b"END:VCALENDAR\r\n"
    assert "10,000 events; 5,000 is the most" in problem(short)


def test_as_many_events_as_are_allowed_are_read() -> None:
    row = "DTSTART:20261125T100000Z\nDURATION:PT1H"
    ics = calendar(*[row] * (MOST_BUSY_EVENTS // 5))
    assert spans(ics) == [Span(hour(10), hour(11))]


def test_a_file_past_four_megabytes_is_refused() -> None:
    assert "4.2 MB; 4 MB is the most" in problem(b"BEGIN:VCALENDAR" + b" " * 4_200_000)


def test_as_many_events_as_are_allowed_fit_as_desktop_programs_write_them() -> None:
    """Some 410 bytes each, with alarm, place and dates of making (RFC 5545 3.6.1 lists what an event may have)."""
    rest = (
        "CREATED:20250101T101010Z", "LAST-MODIFIED:20250101T101010Z", "TRANSP:OPAQUE", "SEQUENCE:0", "STATUS:CONFIRMED",
        "LOCATION:Room 12", "X-NOTE:" + "x" * 60, "BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:-PT15M", "DESCRIPTION:x",
        "END:VALARM",
    )  # fmt: skip
    ics = calendar(*[times("20261125T100000Z", "20261125T110000Z", *rest)] * MOST_BUSY_EVENTS)
    assert len(ics) > 400 * MOST_BUSY_EVENTS
    assert read_busy(ics, DAY, DAY + WEEK, "Europe/Lisbon", seconds=60).spans == (Span(hour(10), hour(11)),)


@pytest.mark.parametrize(
    "rule",
    ["FREQ=SECONDLY", "FREQ=MINUTELY;INTERVAL=5", "FREQ=HOURLY;BYMINUTE=0,30", "FREQ=DAILY;BYHOUR=1;BYSECOND=1,2,3"],
)
def test_what_repeats_more_than_once_an_hour_is_refused(rule: str) -> None:
    ics = calendar(times("20261125T100000Z", "20261125T100001Z", f"RRULE:{rule}"))
    assert "more than once an hour" in problem(ics)


def test_a_second_rule_of_one_event_is_looked_at_too() -> None:
    two = times("20261125T100000Z", "20261125T100001Z", "RRULE:FREQ=DAILY", "RRULE:FREQ=SECONDLY")
    with pytest.raises(UnreadableCalendarError, match="more than once an hour"):
        spans(calendar(two))


def test_a_rule_that_never_comes_true_ends_in_an_answer_not_a_hang() -> None:
    never = times("20261125T100000Z", "20261125T110000Z", "RRULE:FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30")
    begun = time.monotonic()
    answers: list[str] = []
    try:
        read_busy(calendar(never), DAY, DAY + WEEK, "Europe/Lisbon", 5.0)
    except PlanError as wrong:
        answers.append(wrong.problems[0].message)
    assert all("without end" in a for a in answers)
    assert time.monotonic() - begun < 30, "the child is stopped at its limit"


def test_a_child_that_takes_too_long_is_stopped() -> None:
    assert "too long to read" in problem(calendar(times("20261125T100000Z", "20261125T110000Z")), seconds=0.001)


def test_a_child_that_dies_is_a_clear_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(calendar_file.sys, "executable", "/bin/false")
    assert "takes too long" in problem(calendar(times("20261125T100000Z", "20261125T110000Z")))


@pytest.mark.parametrize("ics", [b"", b"hello", b"\x00\xff\xfe", b"PK\x03\x04 a zip"])
def test_what_is_no_calendar_is_said_to_be_none(ics: bytes) -> None:
    assert "not a calendar" in problem(ics)


@pytest.mark.parametrize(
    "ics",
    [
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nDTSTART:yesterday\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
        b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    ],
)
def test_a_broken_calendar_is_an_answer_at_the_field(ics: bytes) -> None:
    with pytest.raises(UnreadableCalendarError) as wrong:
        busy_spans(ics, DAY, DAY + WEEK, LISBON)
    assert wrong.value.way_out


def test_an_event_written_backwards_is_the_stretch_between() -> None:
    backwards = times("20261125T110000Z", "20261125T100000Z")
    assert spans(calendar(backwards)) == [Span(hour(10), hour(11))]


def test_the_steps_of_our_own_bakes_do_not_make_their_baker_busy() -> None:
    own = calendar(times("20261125T100000Z", "20261125T110000Z"), times("20261125T120000Z", "20261125T130000Z"))
    own = own.replace(b"UID:0@test", b"UID:abc-mix@suppertide")
    found, notes = busy_spans(own, DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13))]
    assert notes == ["Left out 1 step of your own bakes."]


def test_nearly_five_thousand_events_fit_into_the_limits_that_the_page_states() -> None:
    """How long they take is measured by hand; here they are read to the last one, in the child and out of it."""
    many = [
        times(f"202611{25 + n % 6}T{n % 24:02}0000Z", f"202611{25 + n % 6}T{n % 24:02}3000Z", "X-A:b")
        for n in range(4900)
    ]
    all_of_them = calendar(*many)
    assert len(all_of_them) < calendar_file.MOST_FILE_BYTES
    assert len(spans(all_of_them)) == 24, "four hours of each of six days"
    assert len(read_busy(all_of_them, DAY, DAY + WEEK, "Europe/Lisbon", seconds=60).spans) == 24


def test_one_event_that_cannot_be_read_is_named_and_the_others_count() -> None:
    good, bad = times("20261125T120000Z", "20261125T130000Z"), times("20261199T120000Z", "20261125T130000Z")
    broken_series = times("20261125T150000Z", "20261125T160000Z", "RRULE:FREQ=SOMETIMES")
    found, notes = busy_spans(calendar(bad, good, broken_series), DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13))]
    assert notes == [
        "Left out event 1 of the file (20261199T120000Z): it cannot be read.",
        "Left out event 3 of the file (20261125T150000Z): it cannot be read.",
    ]


def test_whole_days_and_declined_invitations_are_said() -> None:
    whole = "DTSTART;VALUE=DATE:20261126\nDTEND;VALUE=DATE:20261127"
    declined = times("20261125T120000Z", "20261125T130000Z", "ATTENDEE;PARTSTAT=DECLINED:mailto:a@example.org",
                     "ATTENDEE;PARTSTAT=ACCEPTED:mailto:b@example.org")  # fmt: skip
    _, notes = busy_spans(calendar(whole, declined), DAY, DAY + WEEK, LISBON)
    assert notes[0].startswith("1 whole-day entry counts as busy all day: mark it free if it is not")
    assert notes[1].startswith("1 with a declined invitation counts")


GOOD = times("20261125T120000Z", "20261125T130000Z")


def test_one_broken_exception_leaves_its_series_and_is_the_one_that_is_named() -> None:
    weekly = times("20261118T180000Z", "20261118T190000Z", "RRULE:FREQ=WEEKLY")
    broken = times("2026XX", "20261126T19", "RECURRENCE-ID:20261202T180000Z")
    found, notes = busy_spans(calendar(weekly, broken).replace(b"UID:1@", b"UID:0@"), DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(18), hour(19))]
    assert notes == ["Left out event 2 of the file (2026): it cannot be read."]


def test_what_repeats_by_the_minute_is_named_and_the_rest_counts() -> None:
    often = times("20261125T150000Z", "20261125T150001Z", "RRULE:FREQ=MINUTELY")
    found, notes = busy_spans(calendar(GOOD, often), DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13))]
    assert notes == ["Left out event 2 of the file: it repeats more than once an hour."]


def with_part(*lines: str, events: tuple[str, ...] = (GOOD,)) -> bytes:
    part = "\r\n".join(lines).encode()
    return calendar(*events).replace(b"BEGIN:VEVENT", part + b"\r\nBEGIN:VEVENT", 1)


def test_a_broken_free_busy_table_is_said_and_the_events_count() -> None:
    ics = with_part("BEGIN:VFREEBUSY", "FREEBUSY:garbage", "END:VFREEBUSY")
    found, notes = busy_spans(ics, DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13))]
    assert notes == ["Left out 1 free-busy table: it cannot be read."]


def test_a_broken_time_zone_is_named_and_the_others_serve() -> None:
    zone = ("BEGIN:VTIMEZONE", "TZID:Odd", "BEGIN:STANDARD", "DTSTART:xx", "TZOFFSETFROM:zz", "TZOFFSETTO:+0100",
            "END:STANDARD", "END:VTIMEZONE")  # fmt: skip
    well = ("BEGIN:VTIMEZONE", "TZID:Own", "BEGIN:STANDARD", "DTSTART:19700101T000000", "TZOFFSETFROM:+0300",
            "TZOFFSETTO:+0300", "END:STANDARD", "END:VTIMEZONE")  # fmt: skip
    own = "DTSTART;TZID=Own:20261125T180000\nDTEND;TZID=Own:20261125T190000"
    found, notes = busy_spans(with_part(*zone, *well, events=(GOOD, own)), DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13)), Span(hour(15), hour(16))]
    assert notes == ["The time zone “Odd” cannot be read: its events count at your kitchen’s time."]


@pytest.mark.parametrize("name", ["Foo/Bar", "GMT-0500", "(UTC-05:00) Eastern Time (US & Canada)"])
@pytest.mark.parametrize("rule", ["", "\nRRULE:FREQ=DAILY;COUNT=1"])
def test_a_time_zone_that_nobody_describes_is_named(name: str, rule: str) -> None:
    """RFC 5545 3.2.19: a file describes every zone that it names; some do not, and an hour read wrong must be said."""
    said = f'"{name}"' if ":" in name else name
    odd = f"DTSTART;TZID={said}:20261125T180000\nDTEND;TZID={said}:20261125T190000{rule}"
    found, notes = busy_spans(with_part(events=(GOOD, odd)), DAY, DAY + WEEK, LISBON)
    assert found == [Span(hour(12), hour(13)), Span(hour(18), hour(19))]
    assert notes == [f"The time zone “{name}” cannot be read: its events count at your kitchen’s time."]


def test_a_time_zone_of_the_computer_needs_no_description_and_no_word() -> None:
    known = "DTSTART;X-A=1;TZID=Europe/Berlin:20261125T180000\nDTEND;TZID=Europe/Berlin:20261125T190000"
    found, notes = busy_spans(with_part(events=(known,)), DAY, DAY + WEEK, LISBON)
    assert (found, notes) == ([Span(hour(17), hour(18))], [])


def test_an_event_of_months_within_one_year_is_said_too() -> None:
    _, notes = busy_spans(calendar(times("20260801T080000Z", "20261224T190000Z")), DAY, DAY + WEEK, LISBON)
    assert notes == ["Left out 1 event that lasts longer than 60 days: taken for a note."]
