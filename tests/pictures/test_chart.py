"""The tide chart: places checked by hand calculation and by what must hold for any plan; the SVG by an XML parser."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given
from hypothesis import strategies as st

from tests.made_up import made_up
from tests.samples import at, sample_plan
from webapp.core.kinds import ClockStyle
from webapp.core.now.journal import fold
from webapp.core.now.retime import retime
from webapp.core.plan.event import Event
from webapp.core.plan.plan import Busy, Plan
from webapp.core.plan.retimed import Retimed
from webapp.core.plan.rise import GlassMark, RoomSpan
from webapp.pictures.chart import chart, spread
from webapp.pictures.reading import times_at, waiting
from webapp.pictures.shapes import (
    NARROW,
    SIZES,
    WIDE,
    Local,
    Size,
    TideChart,
)
from webapp.pictures.svg import (
    describe,
    draw,
    readout,
    rows,
    tenth,
    waits,
)
from webapp.web import filters
from webapp.words.spoken import spoken

UTC = filters.local("UTC")
SVG = "{http://www.w3.org/2000/svg}"


def stands(plan: Plan, now: int | None = None, *events: Event) -> Retimed:
    return retime(plan, fold(plan, events), plan.made_at if now is None else now)


def drawn(plan: Plan, size: Size = NARROW, local: Local = UTC, now: int | None = None) -> TideChart:
    return chart(plan, stands(plan), local, size, now)


def picture(plan: Plan, size: Size = NARROW, now: int | None = None) -> Element:
    text = draw(drawn(plan, size, now=now), "t", plan.title, "the day")
    tree: Element = fromstring(text.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))
    return tree


def of_class(tree: Element, name: str) -> list[Element]:
    return [node for node in tree.iter() if name in node.get("class", "").split()]


def done(step_id: str, when: int) -> Event:
    return Event(f"{step_id}-done", "b" * 22, when, when, "p", "done", {"step_id": step_id})


def test_time_runs_across_evenly() -> None:
    """By hand: 07:15 to 19:30 is 44,100 s; the margin is 44,100 / 50 + 300 = 1,182 s; 308 units hold 46,464 s."""
    away = next(c for c in drawn(sample_plan()).columns if c.kind == "away")
    begins = at(7, 15) - 1182
    assert away.x == pytest.approx(6 + 308 * (at(8) - begins) / 46464)
    assert away.width == pytest.approx(308 * 8.5 * 3600 / 46464)


def test_the_rise_reads_in_volumes() -> None:
    """The plan's marks of the glass are E = P ** (1 / 0.75), plus one: the model's own formula agrees."""
    plan = sample_plan()
    for mark in plan.rise.glass:
        assert times_at(plan.rise.glass, mark.progress) == pytest.approx(mark.times)
    for progress in (0.5, 1.0, 1.36, 2.0):
        assert times_at(plan.rise.glass, progress) == pytest.approx(1 + progress ** (1 / 0.75), rel=0.02)


def test_past_the_last_mark_the_volume_goes_on_and_without_marks_there_is_still_a_curve() -> None:
    glass = (GlassMark(2.0, 1.0), GlassMark(3.0, 1.5))
    assert times_at(glass, 2.0) == 4.0
    assert times_at((), 0.7) == 1.7


def test_a_warmer_room_draws_a_higher_line() -> None:
    plan = sample_plan()
    warm = replace(plan, rise=replace(plan.rise, room=(RoomSpan(at(0), 24.0),)))
    before, after = stands(plan).curve, stands(warm).curve
    assert len(before) == len(after)
    assert all(b.progress <= a.progress for b, a in zip(before, after, strict=True))
    assert after[-1].progress > before[-1].progress


def test_a_tray_that_was_pressed_late_waits_for_nobody_before_it_was_pressed() -> None:
    """However ripe its dough was by then: the bar, and the words below the picture, begin where the tray began."""
    plan, pressed = sample_plan(), at(20, 36)
    said = [Event(f"{kind}".ljust(32, "a"), plan.bake_id, when, when, "", "done", {"step_id": kind})
            for kind, when in (("mix", at(7, 30)), ("press", pressed))]  # fmt: skip
    late = stands(plan, pressed, *said)
    load = next(one for one in late.steps if one.step_id == "load")
    assert 0 < load.early_at < pressed, "as such a dough would have been ready for the oven"
    met = waiting(plan, late)
    assert met is not None
    assert met.early_at == pressed
    assert met.best_at >= pressed


def test_the_window_is_where_the_band_says_the_dough_can_be_used() -> None:
    shapes, standing = drawn(sample_plan()), stands(sample_plan())
    press = next(s for s in standing.steps if s.step_id == "press")
    assert shapes.window is not None
    begins = at(7, 15) - 1182  # as in the first test: the margin of a day from 07:15 to 19:30
    assert press.past_at > at(19, 30)
    assert shapes.window.x == pytest.approx(6 + 308 * (press.early_at - begins) / 46464)
    loaded = next(s.start for s in standing.steps if s.step_id == "load")
    assert loaded < at(19, 30), "good past supper too: but in the oven no dough waits for anybody"
    assert shapes.window.end == pytest.approx(6 + 308 * (loaded - begins) / 46464)
    early, best, past = (UTC.clock(round(one / 300) * 300) for one in (press.early_at, press.best_at, press.past_at))
    assert press.best_at > press.start + 900
    said = f"Ready to press out from about {early}, best {best} (too late for supper), good until about {past}."
    assert waits(sample_plan(), standing, UTC) == said


def test_a_rise_that_is_not_there_within_two_days_is_told_as_no_date() -> None:
    """0 stands for never: as an instant it would be the first day of 1970."""
    standing = stands(sample_plan())

    def told(**marks: int) -> str:
        steps = tuple(replace(one, **marks) if one.step_id == "press" else one for one in standing.steps)
        return waits(sample_plan(), replace(standing, steps=steps), UTC)

    assert told(early_at=at(14), best_at=0, past_at=0) == ""
    said = "Ready to press out from about 14:00, best 16:30, good until long after."
    assert told(early_at=at(14), best_at=at(16, 30), past_at=0) == said


def test_a_best_that_supper_does_not_wait_for_is_told_so() -> None:
    """Pressed out at a quarter to five, best at ten to eight: the supper of half past seven is on time all the same."""
    standing = stands(sample_plan())
    marks = {"start": at(16, 45), "early_at": at(14), "best_at": at(19, 50), "past_at": at(22)}
    steps = tuple(replace(one, **marks) if one.step_id == "press" else one for one in standing.steps)
    said = "Ready to press out from about 14:00, best 19:50 (too late for supper), good until about 22:00."
    assert waits(sample_plan(), replace(standing, steps=steps), UTC) == said


def test_where_somebody_has_to_be_home_for_this_supper_its_end_is_told_and_no_other() -> None:
    """Best at ten to six is no later than supper lets it be: by ten past six it is in time."""
    standing = stands(sample_plan())
    marks = {"start": at(16, 45), "early_at": at(14), "best_at": at(17, 50), "past_at": at(22)}
    steps = tuple(replace(one, **marks) if one.step_id == "press" else one for one in standing.steps)
    said = "Ready to press out from about 14:00, best 17:50, good until 18:10 for this supper."
    assert waits(sample_plan(), replace(standing, steps=steps), UTC, at(18, 10)) == said
    late = waits(sample_plan(), replace(standing, steps=steps), UTC, at(17, 30))
    assert late.endswith("best 17:50 (too late for supper), good until 17:30 for this supper.")


@pytest.mark.parametrize(
    ("past", "style", "said"),
    [
        (at(18, 2), "24", "waits for you 16:00\u201318:00"), (at(24, 33), "24", "waits for you from 16:00"),
        (at(18, 2), "12", "waits 4:00 pm\u20136:00 pm"), (at(20), "12", "waits from 4:00 pm"),
        (at(19, 30), "24", "waits for you 16:00\u201319:30"),  # to supper and no longer: that is an end
    ],
)  # fmt: skip
def test_the_bar_says_in_words_how_long_the_dough_waits(past: int, style: ClockStyle, said: str) -> None:
    plan, standing = sample_plan(), stands(sample_plan())
    steps = tuple(
        replace(s, early_at=at(15, 58), best_at=at(16, 30), past_at=past) if s.step_id == "press" else s
        for s in standing.steps
    )
    window = chart(plan, replace(standing, steps=steps), filters.local("UTC", style), NARROW, None).window
    assert window is not None
    assert window.label == said
    if past == at(18, 2):  # 17:00 is its middle, 6 + 308 x 36,282 / 46,464; the words are too long to stand below it
        assert (window.x + window.end) / 2 == pytest.approx(6 + 308 * 36282 / 46464, abs=0.3)
    assert window.label_x == pytest.approx(314 - 26 - 11 * len(said)), "they end at the edge, their piece of bar first"


def test_the_bar_ends_when_somebody_has_to_be_home_for_this_supper() -> None:
    """From sixteen hours on it can be pressed out; past ten after six supper moves."""
    plan, standing = sample_plan(), stands(sample_plan())
    steps = tuple(
        replace(s, early_at=at(16), best_at=at(17), past_at=at(22)) if s.step_id == "press" else s
        for s in standing.steps
    )
    window = chart(plan, replace(standing, steps=steps), UTC, NARROW, None, at(18, 10)).window
    assert window is not None
    assert window.label == "waits for you 16:00\u201318:10"
    begins = at(7, 15) - 1182  # as in the first test
    assert window.end == pytest.approx(6 + 308 * (at(18, 10) - begins) / 46464)


def test_a_dough_that_must_be_pressed_before_it_has_risen_waits_for_nobody_before_it_has() -> None:
    """Its bar goes from left to right: told to be home sooner than it has risen, it is drawn from there to supper."""
    plan = sample_plan()
    standing = stands(plan)
    early = next(step.early_at for step in standing.steps if step.early_at)
    for home_by in (early - 3600, early):
        window = chart(plan, standing, UTC, NARROW, 0, home_by).window
        assert window is not None
        assert window == chart(plan, standing, UTC, NARROW, 0).window
        assert window.x < window.end


def test_a_dough_that_is_not_ready_by_supper_is_drawn_as_long_as_it_goes_on() -> None:
    plan, standing = sample_plan(), stands(sample_plan())
    steps = tuple(
        replace(s, early_at=at(20), best_at=at(22), past_at=at(30)) if s.step_id == "press" else s
        for s in standing.steps
    )
    window = chart(plan, replace(standing, steps=steps), UTC, NARROW, None).window
    assert window is not None
    assert window.end > NARROW.width
    assert window.label == "waits for you 20:00\u201306:00"


def test_of_a_dough_that_is_late_by_a_night_the_end_names_its_day() -> None:
    """More than half a day past supper at 19:30 a time of the clock does not say which day it means."""
    plan, standing = sample_plan(), stands(sample_plan())
    steps = tuple(
        replace(s, early_at=at(20), best_at=at(22), past_at=at(32)) if s.step_id == "press" else s
        for s in standing.steps
    )
    window = chart(plan, replace(standing, steps=steps), UTC, NARROW, None).window
    assert window is not None
    assert window.label == "waits 20:00\u2013Thu 08:00"


def test_a_dough_that_perishes_is_not_said_to_wait_past_supper() -> None:
    plan, standing = replace(sample_plan(), dough_perishes=True), stands(sample_plan())
    shapes = chart(plan, standing, UTC, NARROW, None)
    assert shapes.window is not None
    assert shapes.window.label.endswith("\u201319:30")
    assert shapes.window.end == pytest.approx(shapes.flag.x)


def test_over_midnight_the_first_and_the_last_word_name_their_day() -> None:
    plan = sample_plan()
    today = chart(plan, stands(plan), UTC, WIDE, None)
    assert [peg.word for peg in today.pegs][:: len(today.pegs) - 1] == ["mix", "bake"]
    evening = tuple(replace(s, start=s.start - 12 * 3600) if s.step_id == "mix" else s for s in stands(plan).steps)
    wide = replace(WIDE, width=800)
    words = [peg.word for peg in chart(plan, replace(stands(plan), steps=evening), UTC, wide, None).pegs]
    assert (words[0], words[-1]) == ("mix Tue", "oven on Wed")  # the sample day is a Wednesday, mixed at 07:15
    assert not [word for word in words[1:-1] if "Tue" in word or "Wed" in word]


def test_where_both_days_have_no_room_the_first_is_told_and_the_last_is_supper_s() -> None:
    """A letter takes 9.6 units and a word 9 more: "mix Tue", "press out" and "oven on" take 76.2, 95.4 and 76.2, the
    last with its day 114.6: 286.2 in all. They lie close before supper in a day of 24 hours: of the last two only one
    can have its words nearest, unless the picture is some 500 units wide.
    """
    plan = sample_plan()
    evening = tuple(replace(s, start=s.start - 12 * 3600) if s.step_id == "mix" else s for s in stands(plan).steps)

    def words(width: float) -> list[str]:
        small = replace(NARROW, width=width)
        return [peg.word for peg in chart(plan, replace(stands(plan), steps=evening), UTC, small, None).pegs]

    assert words(800) == ["mix Tue", "press out", "oven on Wed"]
    assert words(600) == ["mix Tue", "press out", "oven on"]
    assert words(400) == ["mix Tue", "press out Wed"], "a step gives way rather than the day of mixing"


@pytest.mark.parametrize("n", range(40))
@pytest.mark.parametrize("size", ["narrow", "wide", "small"])
def test_words_have_their_own_place_nearest_or_two_places_are_too_close_for_any_words(n: int, size: str) -> None:
    """What stands under a place on the line is read as what happens there."""
    plan, events, now = made_up(n)
    pegs = chart(plan, retime(plan, fold(plan, events), now), UTC, SIZES[size], now).pegs
    under = [
        (one, other)
        for one in pegs
        for other in pegs
        if one is not other and abs(other.x - one.slot) < len(one.word) * 9.6 / 2 - 9
    ]
    assert not under or any(other.x - one.x < 62 for one, other in pairwise(pegs))


def test_each_word_is_led_to_its_place_on_the_line() -> None:
    tree = picture(sample_plan())
    places = [(float(dot.get("cx", "")), float(dot.get("cy", ""))) for dot in of_class(tree, "tide__peg")]
    leads = of_class(tree, "tide__lead")
    assert [(float(one.get("x1", "")), float(one.get("y1", ""))) for one in leads] == places
    assert [one.get("x2") for one in leads] == [one.get("x") for one in of_class(tree, "tide__time")]


@pytest.mark.parametrize("n", range(40))
@pytest.mark.parametrize("size", ["narrow", "wide", "small"])
def test_no_two_words_below_the_picture_lie_on_each_other_or_leave_it(n: int, size: str) -> None:
    plan, events, now = made_up(n)
    pegs = chart(plan, retime(plan, fold(plan, events), now), UTC, SIZES[size], now).pegs
    halves = [len(peg.word) * 9.6 / 2 for peg in pegs]  # a letter of 18 units is little more than half as wide, at most
    for (one, half), (other, next_half) in pairwise(zip(pegs, halves, strict=True)):
        assert one.slot + half < other.slot - next_half
    assert not pegs or pegs[0].slot >= halves[0]
    assert not pegs or pegs[-1].slot + halves[-1] <= SIZES[size].width


@pytest.mark.parametrize("n", range(40))
def test_the_words_of_the_bar_never_leave_the_picture(n: int) -> None:
    plan, events, now = made_up(n)
    shapes = chart(plan, retime(plan, fold(plan, events), now), UTC, SIZES["narrow"], now)
    wait = shapes.window
    if wait is None or not wait.label:
        return
    wide = len(wait.label) * 11  # a bold letter of 18 units is three fifths as wide as it is high, at most
    assert wait.label_x >= -0.5
    assert wait.label_x + 26 + wide <= 320.5


def test_mixed_late_the_rise_begins_where_it_stands() -> None:
    plan = sample_plan()
    standing = stands(plan, at(10))  # nobody has mixed yet
    assert "Mixed by Wednesday 25 November 10:" in describe(plan, standing, UTC)


def test_the_words_below_are_of_the_moments_that_matter_most() -> None:
    told = {key: [(p.word, p.time) for p in drawn(sample_plan(), SIZES[key]).pegs] for key in SIZES}
    visits = [("mix", "07:15"), ("press out", "16:45"), ("oven on", "18:10")]
    baked = [*visits, ("bake", "18:55")]
    assert told == {"small": visits, "narrow": visits, "wide": baked}, "there is room for when it goes in on a desk"


def test_a_time_below_is_the_minute_that_the_list_of_steps_names() -> None:
    plan = sample_plan()
    late = replace(plan, steps=tuple(replace(s, start=s.start + 140) if s.kind == "mix" else s for s in plan.steps))
    assert drawn(late, WIDE, filters.local("UTC", "12")).pegs[0].time == "7:17 am"


@pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.key)
def test_of_a_clock_of_twelve_hours_the_first_time_says_its_half_of_the_day_and_the_first_of_another_half(
    size: Size,
) -> None:
    """Mixed at 7:15 in the morning, the rest after noon: "4:45" alone could be before dawn."""
    told = {peg.step_id: peg for peg in drawn(sample_plan(), size, filters.local("UTC", "12")).pegs}
    times = [peg.time for peg in told.values()]
    assert times[:2] == ["7:15 am", "4:45 pm"]
    assert times[2] == "6:10", "it is evening still"
    lefts = [peg.slot - len(peg.time) * 4.8 for peg in told.values()]
    rights = [peg.slot + len(peg.time) * 4.8 for peg in told.values()]
    assert lefts[0] >= 0
    assert all(right <= left for right, left in zip(rights, lefts[1:], strict=False)), "no two run into each other"
    plain = [peg.time for peg in drawn(sample_plan(), size).pegs]
    assert plain[:2] == ["07:15", "16:45"]


def test_what_is_done_with_little_between_is_one_visit_and_has_one_place_below() -> None:
    """Pressed out from 17:30 to 17:40, the oven is lit half an hour later: nobody goes away between them."""
    plan = sample_plan()
    steps = tuple(replace(s, start=at(17, 30), end=at(17, 40)) if s.kind == "press" else s for s in plan.steps)
    shapes = drawn(replace(plan, steps=steps))
    told = [(peg.word, peg.time) for peg in shapes.pegs]
    assert told == [("mix", "07:15"), ("press out", "17:30"), ("bake", "18:55")]


@pytest.mark.parametrize("style", ["24", "12"])
@pytest.mark.parametrize("size", SIZES.values(), ids=lambda size: size.key)
def test_supper_stands_beside_its_flag_and_no_name_of_a_stretch_of_time_lies_on_it(
    size: Size, style: ClockStyle
) -> None:
    plan = replace(sample_plan(), busy=(Busy(at(7, 30), at(12), "away"), Busy(at(15), at(18, 20), "away")))
    shapes = drawn(plan, size, filters.local("UTC", style))
    said = "eat 19:30" if style == "24" else "eat 7:30 pm"
    assert shapes.flag.words == said
    assert shapes.flag.end == pytest.approx(shapes.flag.x - 30)
    first, second = (c for c in shapes.columns if c.kind == "away")
    assert first.label == "away"
    begins, half = shapes.flag.end - len(said) * 9.6, len("away") * 9.6 / 2
    assert (second.label == "") is (second.x + second.width / 2 + half > begins)


def test_where_supper_is_close_to_the_left_edge_its_words_stay_in_the_picture() -> None:
    plan = sample_plan()
    late = replace(stands(plan), ready_at=plan.supper + 40 * 86400)  # so everything else is at the left
    flag = chart(plan, late, UTC, NARROW, None).flag
    assert flag.end == pytest.approx(6 + len(flag.words) * 9.6)


def test_of_more_visits_than_have_room_those_that_matter_most_are_told() -> None:
    few = replace(NARROW, pegs=2)
    assert [peg.word for peg in drawn(sample_plan(), few).pegs] == ["mix", "press out"]


def test_the_end_of_a_night_before_the_day_begins_is_not_drawn() -> None:
    """The picture begins 1,182 s before mixing: 7.8 units, which is less than a letter."""
    plan = replace(sample_plan(), busy=(Busy(at(0), at(7, 15), "asleep"), Busy(at(8), at(16, 30), "away")))
    assert [column.kind for column in drawn(plan).columns] == ["away"]


def test_once_pressed_the_window_is_the_one_before_loading() -> None:
    plan = sample_plan()
    standing = stands(plan, at(17, 30), done("mix", at(7, 30)), done("press", at(17, 0)))
    load = next(s for s in standing.steps if s.step_id == "load")
    assert UTC.clock(round(load.early_at / 300) * 300) in waits(plan, standing, UTC)


def test_nothing_waits_when_all_is_done() -> None:
    plan = sample_plan()
    standing = stands(plan, at(20), *(done(s.step_id, s.end) for s in plan.steps))
    assert waits(plan, standing, UTC) == ""
    assert chart(plan, standing, UTC, NARROW, None).window is None


def test_now_is_a_line_only_while_the_day_lasts() -> None:
    assert not of_class(picture(sample_plan()), "tide__now")
    assert not of_class(picture(sample_plan(), now=at(3)), "tide__now")
    assert not of_class(picture(sample_plan(), now=at(23)), "tide__now")
    assert len(of_class(picture(sample_plan(), now=at(12)), "tide__now")) == 1


def test_only_what_is_due_is_red() -> None:
    plan = sample_plan()
    standing = stands(plan, at(12), done("mix", at(7, 30)))
    assert [p.status for p in chart(plan, standing, UTC, NARROW, at(12)).pegs][:2] == ["done", "open"]
    late = stands(plan, at(17), done("mix", at(7, 30)))
    assert [p.status for p in chart(plan, late, UTC, NARROW, at(17)).pegs][:2] == ["done", "due"]


def test_away_and_asleep_are_named_when_there_is_room() -> None:
    plan = replace(sample_plan(), busy=(Busy(at(8), at(16, 30), "away"), Busy(at(17), at(17, 30), "busy")))
    labels = {c.kind: c.label for c in drawn(plan).columns if c.kind in ("away", "busy")}
    assert labels == {"away": "away", "busy": ""}


def test_the_night_in_the_fridge_is_a_strip() -> None:
    cold = next(p for p, _, _ in (made_up(n) for n in range(40)) if any(s.kind == "chill" for s in p.steps))
    strip = next(c for c in drawn(cold, WIDE).columns if c.kind == "fridge")
    chill, out = next((s, t) for s, t in pairwise(s for s in cold.steps if s.chain) if s.kind == "chill")
    assert chill.place == "fridge"
    assert strip.label in ("fridge", ""), "when it is taken out stands below"
    assert out.step_id in [peg.step_id for peg in drawn(cold, WIDE).pegs]


def test_until_when_the_dough_stands_there_is_said_once_below_the_strip() -> None:
    """From the mixing to the pressing at 16:45, where the strip ends: that visit has its time below the picture."""
    plan = sample_plan()
    mixed = tuple(replace(s, place="fridge") if s.kind == "mix" else s for s in plan.steps)
    seen = drawn(replace(plan, steps=mixed))
    strip = next(c for c in seen.columns if c.kind == "fridge")
    assert strip.label == "fridge"
    peg = next(p for p in seen.pegs if p.time == "16:45")
    assert peg.word == "press out"
    assert strip.x + strip.width == pytest.approx(peg.x), "where its line begins"


@given(st.lists(st.floats(0, 320), max_size=5))
def test_pegs_never_overlap_nor_leave_the_picture(wanted: list[float]) -> None:
    places = spread(sorted(wanted), [62] * len(wanted), 320)
    assert all(31 - 1e-6 <= p <= 320 - 31 + 1e-6 for p in places)
    assert all(b - a >= 62 - 1e-6 for a, b in pairwise(places))


def test_pegs_with_room_stay_where_they_are() -> None:
    assert spread([40.0, 150.0, 280.0], [62, 62, 62], 320) == [40.0, 150.0, 280.0]


@pytest.mark.parametrize("n", range(60))
def test_any_plan_draws_inside_its_picture(n: int) -> None:
    plan, events, now = made_up(n)
    standing = retime(plan, fold(plan, events), now)
    size = list(SIZES.values())[n % 3]
    text = draw(chart(plan, standing, UTC, size, now), "t", plan.title, describe(plan, standing, UTC))
    tree = fromstring(text)
    for x, y in _places(tree):
        assert -0.5 <= x <= size.width + 0.5, text
        assert -0.5 <= y <= size.height + 0.5, text
    assert "nan" not in text
    assert "inf" not in text


def test_titles_are_text_never_markup() -> None:
    plan = replace(sample_plan(), title='<script>"&')
    text = draw(drawn(plan), "t", plan.title, plan.title)
    assert "<script>" not in text
    assert fromstring(text)[0].text == plan.title


def test_the_picture_has_a_name_and_a_description_that_belong_to_it() -> None:
    tree = picture(sample_plan())
    ids = {node.get("id") for node in tree.iter()}
    assert tree.get("role") == "img"
    assert set(tree.get("aria-labelledby", "").split()) <= ids


def test_no_colour_is_written_into_the_picture() -> None:
    """Themes and paper work only if every colour comes from the style sheet."""
    text = draw(drawn(sample_plan(), now=at(12)), "t", "a", "b")
    assert not re.search(r"#[0-9a-f]{3,6}\b|rgb\(|style=", text.replace("#pic-", "").replace("#t-", ""))


def test_the_description_tells_the_day() -> None:
    plan = sample_plan()
    said = describe(plan, stands(plan), UTC)
    assert "Mixed by Wednesday 25 November 07:30." in said
    assert "Away from 08:00 to 16:30." in said
    assert "Supper at Wednesday 25 November 19:30." in said
    assert "Asleep" not in said  # the night comes after supper


def test_the_table_has_every_step_with_who_and_how_far() -> None:
    plan = spoken(sample_plan())
    lines = rows(plan, stands(plan), UTC)
    assert [line[1] for line in lines] == [s.title for s in plan.steps]
    assert lines[0][2:] == ("your hands", "")
    assert re.fullmatch(r"×2\.[0-9]", lines[1][3])


def test_the_readout_follows_the_curve() -> None:
    said: Any = json.loads(readout(drawn(sample_plan()), UTC))
    shares = [share for share, _ in said]
    assert shares == sorted(shares)
    assert said[0][1].startswith("07:30: ×1.0 (×1.0 to ×1.0), dough at 22 °C")


def test_fahrenheit_kitchens_read_fahrenheit() -> None:
    assert "dough at 72 °F" in readout(drawn(sample_plan()), UTC, "F")  # 22 C is 71.6 F


@pytest.mark.parametrize(("value", "text"), [(12.0, "12"), (12.04, "12"), (12.05, "12.1"), (0.96, "1"), (9.25, "9.3")])
def test_lengths_are_written_to_a_tenth(value: float, text: str) -> None:
    assert tenth(value) == text


def _moved(plan: Plan, by: int) -> Plan:
    """The same plan so many seconds later."""
    steps = tuple(replace(s, start=s.start + by, end=s.end + by) for s in plan.steps)
    rise = replace(plan.rise, mixed_at=plan.rise.mixed_at + by,
                   room=tuple(RoomSpan(r.start + by, r.temp_c) for r in plan.rise.room))  # fmt: skip
    return replace(plan, steps=steps, rise=rise, supper=plan.supper + by, ready_at=plan.ready_at + by, busy=(),
                   made_at=plan.made_at + by)  # fmt: skip


def _places(tree: Element) -> Iterable[tuple[float, float]]:
    for node in tree.iter():
        for x, y in (("x", "y"), ("x1", "y1"), ("x2", "y2"), ("cx", "cy")):
            if node.get(x) is not None and node.get(y) is not None:
                yield float(node.get(x, "")), float(node.get(y, ""))
        for pair in node.get("points", "").split():
            left, right = pair.split(",")
            yield float(left), float(right)


def test_folds_are_told_of_at_the_visit_that_they_belong_to() -> None:
    plan = sample_plan()
    mix, *others = plan.steps
    fold = replace(mix, step_id="fold", kind="fold", start=mix.end + 25 * 60, end=mix.end + 30 * 60)
    assert drawn(plan, WIDE).pegs[0].word == "mix"
    folded = replace(plan, steps=(mix, fold, *others))
    assert [peg.word for peg in drawn(folded, WIDE).pegs][:2] == ["mix, fold", "press out"]


def test_a_step_that_is_done_has_one_time_in_the_picture_and_in_its_table() -> None:
    """Mixed from 07:15 to 07:40: the picture names when it was over, and so does its table."""
    plan = sample_plan()
    standing = stands(plan, at(8), done("mix", at(7, 40)))
    assert drawn_at(plan, standing) == "07:40"
    assert rows(plan, standing, UTC)[0][0].endswith("07:40")


def drawn_at(plan: Plan, standing: Retimed) -> str:
    return next(peg.time for peg in chart(plan, standing, UTC, NARROW, None).pegs if peg.step_id == "mix")
