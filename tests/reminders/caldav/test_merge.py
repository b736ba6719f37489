"""Three texts of one event -> one, worked by hand: every expected line below was written down before it was run.

The rules are RFC 5545 (events), RFC 9074 6 and 7 (acknowledged and snoozed alarms), and the one sentence of the house:
what a person changed stays theirs; start, end and our text follow the bake.
"""

from __future__ import annotations

import icalendar
import pytest

from webapp.reminders import ics
from webapp.reminders.caldav.alarms import rings, rings_after, silenced
from webapp.reminders.caldav.event_parts import UnreadableEventError
from webapp.reminders.caldav.merge import as_it_came, called_off, made_their_own, merge, start_of

ALARM = "BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-PT5M\r\nDESCRIPTION:Light the oven\r\nEND:VALARM\r\n"


def event(
    start: str = "20261125T181000Z", end: str = "20261125T181100Z", title: str = "Light the oven",
    text: str = "Dial to 250 C.", alarms: str = ALARM, more: str = "", sequence: int = 0,
) -> bytes:  # fmt: skip
    lines = [
        "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Suppertide//Suppertide 1//EN", "BEGIN:VEVENT",
        "UID:bake-preheat@suppertide", f"DTSTAMP:20261125T06{sequence:02}00Z", f"DTSTART:{start}", f"DTEND:{end}",
        f"SUMMARY:{title}", f"DESCRIPTION:{text}", "STATUS:CONFIRMED", "TRANSP:TRANSPARENT", f"SEQUENCE:{sequence}",
    ]  # fmt: skip
    return ("\r\n".join(lines) + "\r\n" + more + alarms + "END:VEVENT\r\nEND:VCALENDAR\r\n").encode()


BASE = event()
LATER = event("20261125T201000Z", "20261125T201100Z", sequence=1)


def lines(body: bytes) -> list[str]:
    return body.decode().replace("\r\n ", "").splitlines()


def said(body: bytes, name: str) -> list[str]:
    """The lines of this property: of the event, or of its alarms for what only alarms have."""
    own = lines(body)
    if name == "DESCRIPTION":
        own = own[: own.index("BEGIN:VALARM")]
    return [line for line in own if line.partition(":")[0].partition(";")[0] == name]


def test_untouched_the_event_becomes_ours_as_wanted() -> None:
    merged = merge(BASE, BASE, LATER)
    assert sorted(lines(merged)) == sorted(lines(LATER))


@pytest.mark.parametrize(
    ("old", "new", "kept"),
    [
        ("SUMMARY:Light the oven", "SUMMARY:Oven! (Ada)", "SUMMARY:Oven! (Ada)"),
        ("STATUS:", "LOCATION:Grandmother's kitchen\r\nSTATUS:", "LOCATION:Grandmother's kitchen"),
        ("STATUS:", "CATEGORIES:FAMILY,FOOD\r\nSTATUS:", "CATEGORIES:FAMILY,FOOD"),
        ("STATUS:", "ATTENDEE;PARTSTAT=NEEDS-ACTION:mailto:b@example.org\r\nSTATUS:",
         "ATTENDEE;PARTSTAT=NEEDS-ACTION:mailto:b@example.org"),
        ("STATUS:", "X-OWN-COLOUR;X-A=1:plum\r\nSTATUS:", "X-OWN-COLOUR;X-A=1:plum"),
        ("TRANSP:TRANSPARENT", "TRANSP:OPAQUE", "TRANSP:OPAQUE"),
        ("STATUS:CONFIRMED", "STATUS:TENTATIVE", "STATUS:TENTATIVE"),
        ("TRIGGER:-PT5M", "TRIGGER:-PT45M", "TRIGGER:-PT45M"),
        ("END:VEVENT", "BEGIN:VALARM\r\nACTION:AUDIO\r\nTRIGGER:-PT1H\r\nEND:VALARM\r\nEND:VEVENT", "TRIGGER:-PT1H"),
    ],
)  # fmt: skip
def test_what_a_person_changed_is_kept_and_start_and_end_follow(old: str, new: str, kept: str) -> None:
    there = BASE.decode().replace(old, new, 1).encode()
    merged = merge(BASE, there, LATER)
    assert kept in lines(merged)
    assert said(merged, "DTSTART") == ["DTSTART:20261125T201000Z"]
    assert said(merged, "DTEND") == ["DTEND:20261125T201100Z"]
    assert said(merged, "SEQUENCE") == ["SEQUENCE:1"]


def test_what_nobody_changed_follows_beside_what_somebody_did() -> None:
    there = BASE.replace(b"STATUS:", b"LOCATION:Attic\r\nSTATUS:")
    want = event(title="Light the oven now", text="Dial to 230 C.", sequence=1)
    merged = merge(BASE, there, want)
    assert said(merged, "SUMMARY") == ["SUMMARY:Light the oven now"]
    assert said(merged, "DESCRIPTION") == ["DESCRIPTION:Dial to 230 C."]
    assert said(merged, "LOCATION") == ["LOCATION:Attic"]


def test_words_around_our_text_stay_and_words_instead_of_it_come_after() -> None:
    want = event(text="Dial to 230 C.", sequence=1)
    around = merge(BASE, event(text="Ask Ada.\\nDial to 250 C.\\nOpen a window."), want)
    assert said(around, "DESCRIPTION") == ["DESCRIPTION:Ask Ada.\\nDial to 230 C.\\nOpen a window."]
    instead = merge(BASE, event(text="Ada does it"), want)
    assert said(instead, "DESCRIPTION") == ["DESCRIPTION:Dial to 230 C.\\n\\nAda does it"]
    again = merge(want, instead, event(text="Dial to 240 C.", sequence=2))
    assert said(again, "DESCRIPTION") == ["DESCRIPTION:Dial to 240 C.\\n\\nAda does it"]


SNOOZED = BASE.replace(
    b"END:VALARM\r\n",
    b"UID:a1\r\nACKNOWLEDGED:20261125T180600Z\r\nEND:VALARM\r\n"
    b"BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER;VALUE=DATE-TIME:20261125T185100Z\r\n"
    b"RELATED-TO;RELTYPE=SNOOZE:a1\r\nDESCRIPTION:Light the oven\r\nEND:VALARM\r\n",
)


def test_a_snooze_stays_while_the_event_stays_where_it_is() -> None:
    merged = merge(BASE, SNOOZED, event(text="Dial to 230 C.", sequence=1))
    assert "TRIGGER;VALUE=DATE-TIME:20261125T185100Z" in lines(merged)
    assert "ACKNOWLEDGED:20261125T180600Z" in lines(merged)


def test_a_snooze_does_not_ring_at_the_old_time_after_supper_moved_by_two_hours() -> None:
    merged = merge(BASE, SNOOZED.replace(b"STATUS:", b"X-OWN-SNOOZE-TIME:20261125T185100Z\r\nSTATUS:"), LATER)
    assert "20261125T185100Z" not in merged.decode()
    assert said(merged, "TRIGGER") == ["TRIGGER:-PT5M"]
    assert not said(merged, "ACKNOWLEDGED"), "it rings anew at its new time"


def test_an_own_alarm_at_a_fixed_time_moves_along() -> None:
    there = BASE.replace(b"TRIGGER:-PT5M", b"TRIGGER;VALUE=DATE-TIME:20261125T170000Z")
    assert said(merge(BASE, there, LATER), "TRIGGER") == ["TRIGGER;VALUE=DATE-TIME:20261125T190000Z"]


def test_an_alarm_taken_away_by_a_person_stays_away() -> None:
    assert not rings(merge(BASE, event(alarms=""), LATER))


def test_a_step_that_is_done_rings_no_more_whoever_made_the_alarm() -> None:
    own = BASE.replace(b"TRIGGER:-PT5M", b"TRIGGER:-PT45M")
    for there in (own, SNOOZED):
        assert not rings(merge(BASE, there, event(alarms="", sequence=1), over=True))


def test_the_same_start_in_another_zone_is_no_change() -> None:
    """New York is five hours behind UTC in November (tzdata)."""
    there = BASE.replace(b"DTSTART:20261125T181000Z", b"DTSTART;TZID=America/New_York:20261125T131000")
    assert start_of(there) == start_of(BASE)


def test_a_start_that_is_theirs_is_left_and_the_rest_follows() -> None:
    there = event("20261125T170000Z", "20261125T170500Z")
    merged = merge(BASE, there, event("20261125T201000Z", text="Dial to 230 C.", sequence=1), their_start=True)
    assert said(merged, "DTSTART") == ["DTSTART:20261125T170000Z"]
    assert said(merged, "DTEND") == ["DTEND:20261125T170500Z"]
    assert said(merged, "DESCRIPTION") == ["DESCRIPTION:Dial to 230 C."]


def test_a_sequence_never_goes_back() -> None:
    """RFC 5545 3.8.7.4: a program that changed the event counted too."""
    assert said(merge(BASE, event(sequence=7), LATER), "SEQUENCE") == ["SEQUENCE:7"]


def test_an_end_told_as_a_length_becomes_one_end() -> None:
    there = BASE.replace(b"DTEND:20261125T181100Z", b"DURATION:PT1M")
    merged = merge(BASE, there, LATER)
    assert not said(merged, "DURATION")
    assert said(merged, "DTEND") == ["DTEND:20261125T201100Z"]


def test_a_repetition_and_its_exceptions_are_kept() -> None:
    exception = BASE.replace(b"DTSTART:", b"RECURRENCE-ID:20261202T181000Z\r\nDTSTART:").split(b"BEGIN:VEVENT")[1]
    there = BASE.replace(b"STATUS:", b"RRULE:FREQ=WEEKLY\r\nSTATUS:").replace(
        b"END:VEVENT\r\n", b"END:VEVENT\r\nBEGIN:VEVENT" + exception.replace(b"END:VCALENDAR\r\n", b""), 1
    )
    merged = merge(BASE, there, LATER)
    assert said(merged, "RRULE") == ["RRULE:FREQ=WEEKLY"]
    assert len(icalendar.Calendar.from_ical(merged).walk("VEVENT")) == 2


def test_only_what_a_person_put_in_makes_an_event_their_own() -> None:
    assert not made_their_own(BASE, BASE)
    assert not made_their_own(BASE, SNOOZED)
    assert not made_their_own(BASE, BASE.replace(b"TRIGGER:-PT5M", b"TRIGGER:-PT45M"))
    assert not made_their_own(BASE, BASE.replace(b"DTSTAMP:20261125T060000Z", b"DTSTAMP:20261125T070000Z"))
    for old, new in (
        (b"STATUS:", b"LOCATION:Attic\r\nSTATUS:"),
        (b"SUMMARY:L", b"SUMMARY:Do not l"),
        (b"DTSTART:20261125T181", b"DTSTART:20261125T171"),
        (b"250 C.", b"250 C.\\nAsk Ada."),
    ):
        assert made_their_own(BASE, BASE.replace(old, new))


@pytest.mark.parametrize(
    "mark",
    [
        "X-APPLE-TRAVEL-ADVISORY-BEHAVIOR:AUTOMATIC", "X-MOZ-GENERATION:4", "LOCATION:", "PRIORITY:5", "CLASS:PUBLIC",
    ],
)  # fmt: skip
def test_what_a_program_notes_by_itself_makes_no_event_a_persons_own(mark: str) -> None:
    """RFC 5545 3.8.8.2: names that begin with X- are a program's; only snoozed, such an event goes with its bake."""
    assert not made_their_own(BASE, SNOOZED.replace(b"STATUS:", mark.encode() + b"\r\nSTATUS:"))


def test_what_is_called_off_stays_with_its_words_and_rings_no_more() -> None:
    merged = called_off(SNOOZED.replace(b"SUMMARY:Light", b"SUMMARY:Ada and I light"))
    assert said(merged, "SUMMARY") == ["SUMMARY:Ada and I light the oven"]
    assert said(merged, "STATUS") == ["STATUS:CANCELLED"]
    assert said(merged, "SEQUENCE") == ["SEQUENCE:1"]
    assert not said(merged, "TRIGGER")


@pytest.mark.parametrize("there", [b"", b"<html>", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", b"\xff\xfe\0",
                                   BASE.replace(b"DTSTART:20261125T181000Z\r\n", b""),
                                   BASE.replace(b"DTSTART:20261125T181000Z", b"DTSTART:whenever")])  # fmt: skip
def test_what_is_no_event_is_said_to_be_none(there: bytes) -> None:
    with pytest.raises(UnreadableEventError):
        merge(BASE, there, LATER)
    with pytest.raises(UnreadableEventError):
        start_of(there)


MINE = "Light the oven.\nDial 250 C.\n\nSupper at 19:30. Dough: focaccia."


def marked(text: str, mark: str = ics.text_mark(MINE)) -> bytes:
    """As it stands in a calendar into which somebody took our file."""
    return event(text=text.replace("\n", "\\n"), more=f"{ics.TEXT_MARK}:{mark}\r\n")


@pytest.mark.parametrize("around", ["{}", "Ask Ada.\n\n{}", "{}\n\nOpen a window.", "Ask Ada.\n{}\nOpen a window."])
def test_our_text_is_known_again_by_its_mark_among_what_a_person_wrote(around: str) -> None:
    """Length and digest find it, whatever its words are: no word of it is looked for."""
    new = event(text="Dial 230 C.")
    merged = merge(as_it_came(marked(around.format(MINE)), new), marked(around.format(MINE)), new)
    wanted = around.format("Dial 230 C.").replace("\n", "\\n")
    assert said(merged, "DESCRIPTION") == [f"DESCRIPTION:{wanted}"]


FORMER = "Light the oven at 18:05.\nDial 250 C."


@pytest.mark.parametrize("around", ["{}", "Ask Ada.\n\n{}"])
def test_where_a_program_threw_our_mark_away_a_former_text_is_known_by_the_marks_that_go_along(around: str) -> None:
    """Nothing of its words is looked at: a text that is alike but was never ours stays the person's."""
    marks = f"{ics.text_mark('Dial 230 C.')} {ics.text_mark(MINE)} {ics.text_mark(FORMER)}"
    new = event(text="Dial 230 C.", more=f"{ics.TEXT_MARK}:{marks}\r\n")
    there = event(text=around.format(FORMER).replace("\n", "\\n"))
    wanted = around.format("Dial 230 C.").replace("\n", "\\n")
    assert said(merge(as_it_came(there, new), there, new), "DESCRIPTION") == [f"DESCRIPTION:{wanted}"]
    alike = event(text=FORMER.replace("18:05", "18:10").replace("\n", "\\n"))
    kept = said(merge(as_it_came(alike, new), alike, new), "DESCRIPTION")
    assert kept == ["DESCRIPTION:Dial 230 C.\\n\\nLight the oven at 18:10.\\nDial 250 C."]


@pytest.mark.parametrize("mark", ["", "x", "99999999999999999999-0", "12-0000000000000000", "-"])
def test_what_has_no_mark_of_ours_or_a_spoilt_one_is_the_persons_and_stays(mark: str) -> None:
    there = marked("By hand", mark)
    merged = merge(as_it_came(there, event(text="Dial 230 C.")), there, event(text="Dial 230 C."))
    assert said(merged, "DESCRIPTION") == ["DESCRIPTION:Dial 230 C.\\n\\nBy hand"]


NINE = 1795597200  # 2026-11-25T09:00:00Z


def alarm(*rows: str) -> str:
    return "\r\n".join(("BEGIN:VALARM", "ACTION:DISPLAY", "DESCRIPTION:x", *rows, "END:VALARM", ""))


@pytest.mark.parametrize(
    ("rows", "more", "later"),
    [
        (("TRIGGER:-PT5M",), "", False),  # at 7:55
        (("TRIGGER:PT59M",), "", False),  # at 8:59
        (("TRIGGER:PT61M",), "", True),  # at 9:01
        (("TRIGGER;RELATED=END:PT31M",), "", True),  # the end is at 8:30
        (("TRIGGER;RELATED=END:PT29M",), "", False),
        (("TRIGGER;VALUE=DATE-TIME:20261125T090100Z",), "", True),
        (("TRIGGER;VALUE=DATE-TIME:20261125T090100Z", "ACKNOWLEDGED:20261125T090100Z"), "", False),  # RFC 9074 6.1
        (("TRIGGER;VALUE=DATE-TIME:20261125T090100Z", "ACKNOWLEDGED:20261125T085000Z"), "", True),
        (("TRIGGER:-PT5M", "REPEAT:3", "DURATION:PT20M"), "", False),  # 7:55, 8:15, 8:35, 8:55
        (("TRIGGER:-PT5M", "REPEAT:4", "DURATION:PT20M"), "", True),  # and 9:15
        (("TRIGGER:-PT5M",), "X-MOZ-SNOOZE-TIME:20261125T090500Z\r\n", True),
        (("TRIGGER:-PT5M",), "X-MOZ-SNOOZE-TIME:20261125T085500Z\r\n", False),
        (("TRIGGER:-PT5M",), "X-MOZ-SNOOZE-TIME:soon\r\n", True),
        (("TRIGGER:-PT5M",), "X-MOZ-LASTACK:20261125T090500Z\r\n", False),
        (("TRIGGER:-PT5M",), "RRULE:FREQ=DAILY\r\n", True),
    ],
)
def test_whether_something_may_ring_after_nine(rows: tuple[str, ...], more: str, later: bool) -> None:
    """An event from 8:00 to 8:30; RFC 5545 3.8.6.3 says when an alarm rings, 3.8.6.2 how it repeats."""
    there = event("20261125T080000Z", "20261125T083000Z", alarms=alarm(*rows), more=more)
    assert rings_after(there, NINE) is later
    assert not rings_after(silenced(there), 0)
    assert said(silenced(there) + alarm("").encode(), "SUMMARY") == ["SUMMARY:Light the oven"]


def test_an_event_that_has_a_length_ends_after_it_and_one_without_an_end_when_it_begins() -> None:
    rings_late = alarm("TRIGGER;RELATED=END:PT31M")
    there = event("20261125T080000Z", "20261125T083000Z", alarms=rings_late)
    assert rings_after(there.replace(b"DTEND:20261125T083000Z", b"DURATION:PT30M"), NINE)
    assert not rings_after(there.replace(b"DTEND:20261125T083000Z\r\n", b""), NINE)
