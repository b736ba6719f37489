"""Calendar files, byte by byte: what RFC 5545 asks and no parser catches."""

from __future__ import annotations

import dataclasses
import re
from datetime import UTC, datetime

import pytest

from tests.reminders.calendars import calendar_for, entries_for, step_calendar
from tests.samples import at, sample_kitchen, sample_plan
from tests.words.fresh import SURE, fresh_plan
from webapp.core.kitchen import NO_ALARM, Kitchen
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, RetimedStep
from webapp.core.plan.steps import PlanStep
from webapp.reminders.ics import clean, write_calendar
from webapp.reminders.timed import uid_for
from webapp.words.calendar import local_text
from webapp.words.spoken import spoken

HOSTILE = [
    "one\r\nBEGIN:VALARM\r\nACTION:AUDIO\r\nEND:VALARM",
    "a\x00b\x07c\x1bd\x7fe\x85f\x9fg",
    "pizza \U0001f355\U0001f469‍\U0001f373 and \U0001f1f5\U0001f1f9",
    "‮reversed‬ مرحبا שלום",
    'semi; comma, back\\slash \\n colon: "quoted"',
    "x" * 10_240,
    "ß\u2028ü\u2029ö" * 500,
    "spaces " + " " * 200 + "end",
    "\ud800 half, \ufffe none, \ufdd0 none",
    "",
]


def text_of(plan: Plan, **kwargs: object) -> str:
    return calendar_for(plan, **kwargs).decode()  # type: ignore[arg-type]


def unfolded(data: bytes) -> list[str]:
    return data.decode().replace("\r\n ", "").split("\r\n")[:-1]


def with_text_everywhere(text: str) -> Plan:
    """The sample plan with `text` in every field that is free text."""
    plan = sample_plan()
    return dataclasses.replace(
        plan,
        title=text,
        formula_name=text,
        yeast_dosing=text,
        steps=tuple(dataclasses.replace(s, title=text, text=text) for s in plan.steps),
        lines=tuple(dataclasses.replace(w, name=text, note=text) for w in plan.lines),
        toppings=tuple(dataclasses.replace(t, name=text, note=text) for t in plan.toppings),
        cautions=tuple(dataclasses.replace(c, text=text) for c in plan.cautions),
        oven=dataclasses.replace(
            plan.oven,
            dial=text,
            shelf=text,
            slab=text,
            programme=tuple(dataclasses.replace(a, text=text, dial=text, shelf=text) for a in plan.oven.programme),
        ),
    )


def retimed(plan: Plan, **changes: tuple[int, int, str]) -> Retimed:
    """As planned, but for the named steps (dashes as underscores): start, end, status."""
    rows = []
    for s in plan.steps:
        start, end, status = changes.get(s.step_id.replace("-", "_"), (s.start, s.end, "open"))
        rows.append(RetimedStep(s.step_id, start, end, status, start - s.start, 0, 0, 0, "", 0, 0, 0))
    return Retimed(tuple(rows), "", "", 0, 0, 0, 20, "bench", 1.0, (), plan.supper, plan.ready_at, 0, (),
                   plan.supper, 0.0, 0.35, (), "")  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_never_breaks_a_line_or_adds_a_property(text: str) -> None:
    """RFC 5545 3.1 (lines), 3.3.11 (text): the frame is the same whatever people type."""
    data = calendar_for(with_text_everywhere(text), origin="https://example.org")
    frame = [line.split(":")[0].split(";")[0] for line in unfolded(data)]
    assert frame == [line.split(":")[0] for line in unfolded(calendar_for(sample_plan(), origin="https://example.org"))]
    assert not re.search(rb"[\x00-\x09\x0b\x0c\x0e-\x1f\x7f]", data)
    assert not re.search(r"[\x80-\x9f\u2028\u2029\ufffe\uffff]", data.decode())
    assert data.count(b"\r") == data.count(b"\n") == data.count(b"\r\n")


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_no_line_is_longer_than_75_octets_nor_cuts_a_character(text: str) -> None:
    data = calendar_for(with_text_everywhere(text))
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()


def test_a_row_never_ends_nor_begins_with_a_space_of_the_text() -> None:
    """Some readers trim rows before they join them; only a run of more than 20 spaces may lose that."""
    words = ("fold the dough over itself, turn it, fold again, then cover it and let it be " * 9).strip()
    data = calendar_for(with_text_everywhere(words))
    for line in data.split(b"\r\n"):
        assert not line.endswith(b" ")
        assert not line.startswith(b"  ")


def test_every_file_ends_with_one_crlf() -> None:
    data = calendar_for(sample_plan())
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert not data.endswith(b"\r\n\r\n")


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert calendar_for(sample_plan()) == calendar_for(sample_plan())


def test_each_event_has_exactly_one_of_what_it_must_have_and_none_of_what_it_may_not() -> None:
    events = text_of(sample_plan(), origin="https://example.org").split("BEGIN:VEVENT\r\n")[1:]
    assert len(events) == len(sample_plan().steps)
    for event in events:
        own = event.split("BEGIN:VALARM")[0]
        for name in ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "URL", "STATUS", "TRANSP",
                     "SEQUENCE", "CREATED", "LAST-MODIFIED"):  # fmt: skip
            assert len(re.findall(rf"^{name}:", own, re.M)) == 1, name
        assert not re.search(r"^(DURATION|METHOD|ORGANIZER|ATTENDEE|LOCATION|GEO|COLOR|RRULE)", event, re.M)
    assert "VTIMEZONE" not in text_of(sample_plan())
    assert "METHOD" not in text_of(sample_plan())


def test_the_alarm_comes_last_with_a_trigger_and_without_a_name_of_its_own() -> None:
    """RFC 5545 3.6.6 asks for ACTION, TRIGGER and DESCRIPTION; a UID there makes a common reader drop the alarm."""
    for event in text_of(sample_plan()).split("BEGIN:VEVENT\r\n")[1:]:
        alarm = event.split("BEGIN:VALARM\r\n")[1]
        assert re.fullmatch(
            r"ACTION:DISPLAY\r\nTRIGGER:(-PT[1-9][0-9]*|PT0)M\r\nDESCRIPTION:[^\r]+\r\nEND:VALARM\r\nEND:VEVENT\r\n"
            r"(END:VCALENDAR\r\n)?",
            alarm,
        )


def test_a_step_with_no_length_still_ends_after_it_starts() -> None:
    """RFC 5545 3.8.2.2: DTEND must be later than DTSTART; the serving step has no length."""
    serve = next(e for e in entries_for(sample_plan()) if e.step_id == "serve")
    assert (serve.start, serve.end) == (at(19, 30), at(19, 31))


def test_hands_make_a_person_busy_and_a_hot_oven_does_not() -> None:
    by_step = {e.step_id: e for e in entries_for(sample_plan())}
    assert by_step["mix"].busy
    assert not by_step["preheat"].busy
    assert b"TRANSP:TRANSPARENT" in (step_calendar(sample_plan(), "preheat") or b"")


def test_what_happens_by_itself_is_no_event() -> None:
    plan = sample_plan()
    rest = PlanStep("rest", "rest", at(8), at(9), "none", title="Rest", text="It rests.")
    quiet = PlanStep("sauce", "sauce", at(17), at(17, 5), "hands", rings=False, title="Sauce", text="Stir.")
    plan = dataclasses.replace(plan, steps=(*plan.steps, rest, quiet))
    assert {e.step_id for e in entries_for(plan)} == {s.step_id for s in sample_plan().steps}


def test_the_person_chooses_the_minutes_for_each_kind_of_step() -> None:
    kitchen = dataclasses.replace(sample_kitchen(), alarms=(("mix", 25), ("preheat", 0), ("press", -1)))
    minutes = {e.step_id: e.alarm_min for e in entries_for(sample_plan(), kitchen=kitchen)}
    assert (minutes["mix"], minutes["preheat"], minutes["press"], minutes["load"]) == (25, 0, NO_ALARM, 5)
    assert b"VALARM" not in (step_calendar(sample_plan(), "press", kitchen=kitchen) or b"")


def test_the_event_starts_when_the_action_starts_whatever_the_alarm() -> None:
    kitchen = dataclasses.replace(sample_kitchen(), alarms=(("mix", 60),))
    assert b"DTSTART:20261125T071500Z" in (step_calendar(sample_plan(), "mix", kitchen=kitchen) or b"")


def test_a_step_that_is_done_keeps_its_true_time_and_loses_its_alarm() -> None:
    plan = sample_plan()
    now = retimed(plan, mix=(at(7, 40), at(7, 58), "done"))
    mix, press = entries_for(plan, now)[:2]
    assert (mix.start, mix.end, mix.alarm_min) == (at(7, 40), at(7, 58), NO_ALARM)
    assert press.alarm_min == 5


def test_a_bake_called_off_cancels_what_is_ahead_and_keeps_what_was_done() -> None:
    plan = sample_plan()
    entries = entries_for(plan, retimed(plan, mix=(at(7, 15), at(7, 30), "done")), cancelled=True)
    assert [e.step_id for e in entries if not e.cancelled] == ["mix"]
    data = write_calendar(entries)
    assert data.count(b"STATUS:CANCELLED") == len(plan.steps) - 1
    assert b"VALARM" not in data


def test_uids_are_unique_and_survive_every_change() -> None:
    plan = sample_plan()
    before = [e.uid for e in entries_for(plan)]
    later = dataclasses.replace(plan, revision=2, title="Another", made_at=plan.made_at + 5)
    assert before == [e.uid for e in entries_for(later, retimed(later, press=(at(18), at(18, 10), "open")))]
    assert len(set(before)) == len(before)
    assert uid_for("abc", "mix") == "abc-mix@suppertide"


def test_a_fingerprint_changes_with_what_is_seen_and_not_with_the_history() -> None:
    entry = entries_for(sample_plan())[0]
    assert dataclasses.replace(entry, sequence=4, changed_at=9).fingerprint() == entry.fingerprint()
    for change in ({"start": entry.start + 60}, {"title": "Mix now"}, {"alarm_min": 3}, {"cancelled": True}):
        assert dataclasses.replace(entry, **change).fingerprint() != entry.fingerprint()


def test_a_step_calendar_is_that_event_of_the_whole_calendar_to_the_byte() -> None:
    whole = text_of(sample_plan(), origin="https://example.org")
    for step in sample_plan().steps:
        alone = (step_calendar(sample_plan(), step.step_id, origin="https://example.org") or b"").decode()
        assert alone.split("BEGIN:VEVENT")[1].replace("END:VCALENDAR\r\n", "") in whole
    assert step_calendar(sample_plan(), "no-such-step") is None


def test_the_text_says_grams_dial_shelf_and_the_caution_for_reading_with_no_app() -> None:
    plan = fresh_plan()
    texts = {e.step_id: e.text for e in entries_for(plan)}
    flour = next(line for line in plan.lines if line.kind == "flour")
    for line in spoken(plan).lines:
        assert line.name
        assert line.name in texts["mix"] or line.key == "yeast-water"
    assert f"{flour.weigh_g:g} g Strong white flour" in texts["mix"]
    assert len(SURE.findall(texts["mix"])) == 1, "how the yeast is dosed is not said twice"
    assert "do not taste raw dough" in texts["mix"]
    assert "250 °C" in texts["preheat"]
    assert "shelf: lowest" in texts["preheat"]
    cheese = next(one for one in plan.toppings if one.key == "cheese")
    assert f"{cheese.grams:.0f} g low-moisture mozzarella" in texts["top"]
    assert "Dry mitts: a damp cloth burns you." in texts["load"]
    assert "Dial 250 °C." in texts["load"]
    assert texts["turn-down"].count("220 °C") == 1, "what the step says itself is not said twice"


def test_a_tray_alone_is_told_its_shelf_when_the_oven_is_lit() -> None:
    bare = fresh_plan(kitchen=Kitchen(zone="Europe/Lisbon"))
    texts = {e.step_id: e.text for e in entries_for(bare)}
    assert "Lowest shelf." in texts["preheat"]


def test_ounces_are_said_beside_the_grams() -> None:
    """An ounce is 28.349523125 g (NIST SP 811): 425 g are 14.99 oz, and 15 on a scale of 0.05."""
    kitchen = dataclasses.replace(sample_kitchen(), mass_unit="oz")
    assert "15 oz (425 g) Strong white flour" in entries_for(sample_plan(), kitchen=kitchen)[0].text


def test_a_preferment_is_weighed_at_its_own_step() -> None:
    plan = sample_plan()
    early = dataclasses.replace(plan.lines[2], part="poolish", name="Flour for the poolish")
    step = dataclasses.replace(plan.steps[0], step_id="poolish", kind="preferment", text="Stir.")
    plan = dataclasses.replace(plan, lines=(early, *plan.lines), steps=(step, *plan.steps))
    first, mix, *_ = [e.text for e in entries_for(plan)]
    assert "Flour for the poolish" in first
    assert "Olive oil" not in first
    assert "Flour for the poolish" not in mix


def test_the_local_time_is_in_the_text_with_its_offset_and_the_persons_clock() -> None:
    """2026-11-25 07:15 UTC is 02:15 in New York (UTC-5) and 12:45 in Kolkata (UTC+5:30)."""
    york = dataclasses.replace(sample_plan(), zone="America/New_York")
    assert "Wednesday 25 November, 02:15 (America/New_York, UTC-05:00)" in entries_for(york)[0].text
    kolkata = dataclasses.replace(sample_plan(), zone="Asia/Kolkata")
    twelve = dataclasses.replace(sample_kitchen(), clock="12")
    assert "12:45 pm (Asia/Kolkata, UTC+05:30)" in entries_for(kolkata, kitchen=twelve)[0].text
    nowhere = dataclasses.replace(sample_plan(), zone="Nowhere/At_All")
    assert "07:15 (Nowhere/At_All, UTC+00:00)" in entries_for(nowhere)[0].text


def test_an_events_own_time_says_which_of_the_two_it_is_in_the_night_of_the_clock_change() -> None:
    """In Chicago clocks went from 2:00 CDT back to 1:00 CST on 7 November 2027, at 07:00 UTC (US rule since 2007: the
    first Sunday of November), so 06:30 and 07:30 UTC are both half past one."""
    for hour, which in ((6, "first"), (7, "second")):
        instant = int(datetime(2027, 11, 7, hour, 30, tzinfo=UTC).timestamp())
        said = local_text(instant, "America/Chicago", "12")
        assert f", 1:30 am ({which} time) (America/Chicago, UTC-0{hour - 1}:00)" in said


def test_links_hold_the_step_and_nothing_that_needs_escaping() -> None:
    data = calendar_for(sample_plan(), origin="https://example.org/a\r\nX-EVIL:1\x00é")
    assert "X-EVIL:1" not in unfolded(data)
    assert f"URL:https://example.org/bakes/{'b' * 22}#step-mix" in unfolded(
        calendar_for(sample_plan(), origin="https://example.org")
    )


def test_line_breaks_of_every_kind_become_one_escaped_newline() -> None:
    assert clean("a\r\nb\rc\x0bd\u2028e\tf") == "a\nb\nc\nd\ne f"


def test_a_feed_says_its_name_and_how_often_to_ask() -> None:
    lines = unfolded(write_calendar((), name="Supper; tide", refresh_min=60))
    assert "NAME:Supper\\; tide" in lines
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT60M" in lines
