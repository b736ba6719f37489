"""Typed text into values: what people write, and what they write by mistake."""

from __future__ import annotations

import contextlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.samples import at, sample_kitchen
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, Kitchen, Wish
from webapp.core.plan.tray import Pan
from webapp.core.units import number_text
from webapp.forms.typed import Answers, clock_minutes, clock_text, spans_text
from webapp.forms.wish import (
    NOTHING,
    Choices,
    filled_in,
    read_pans,
    read_wish,
    typed_again,
)
from webapp.words.pages.usual import hours_in_words, room_in_words

CHOICES = Choices({"bench-tray": "tomato", "plain": "none"}, ("tomato", "herbs"), ("bench-day",))


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("0:00", 0), ("08:05", 485), ("8", 480), ("8.30", 510), ("8h30", 510), ("17:45", 1065), ("24:00", 1440),
        ("12 am", 0), ("12:30am", 30), ("12 pm", 720), ("5:45 PM", 1065), ("5:45 p.m.", 1065), (" 9:00 ", 540),
    ],
)  # fmt: skip
def test_clock_times_as_people_write_them(typed: str, minutes: int) -> None:
    assert clock_minutes(typed) == minutes


NO_TIME = ("", "25:00", "24:01", "8:60", "13 pm", "0 am", "noon", "8:3", "-8:00", "\uff18:00", "8:00:00")


@pytest.mark.parametrize("typed", NO_TIME)
def test_what_is_no_time_of_day(typed: str) -> None:
    assert clock_minutes(typed) is None


@given(st.integers(0, 1439))
def test_a_time_written_out_reads_the_same(minutes: int) -> None:
    assert clock_minutes(clock_text(minutes)) == minutes


NUMBERS = (("1.5", 1.5), ("1,5", 1.5), (" 2 ", 2.0), (".5", 0.5), ("5.", 5.0), ("+3", 3.0))
NO_NUMBERS = ("", "NaN", "inf", "1e3", "0x10", "1.2.3", "1 000", "\u0663", "10.01", "-0.1", "one", "1_0")


@pytest.mark.parametrize(("typed", "value"), NUMBERS)
def test_numbers_with_point_or_comma(typed: str, value: float) -> None:
    answers = Answers({"x": typed})
    assert answers.number("x", 0, 10) == value
    answers.done()


@pytest.mark.parametrize("typed", NO_NUMBERS)
def test_what_is_no_number_or_out_of_reach(typed: str) -> None:
    answers = Answers({"x": typed})
    answers.number("x", 0, 10)
    with pytest.raises(PlanError) as caught:
        answers.done()
    assert [problem.field for problem in caught.value.problems] == ["x"]


@given(st.floats(0, 5000))
def test_a_number_written_out_reads_the_same_to_its_last_place(value: float) -> None:
    assert abs(Answers({"x": number_text(value)}).number("x", 0, 5000) - value) <= 0.00501


@given(st.lists(st.tuples(st.integers(0, 1439), st.integers(1, 1439)), max_size=4))
def test_stretches_written_out_read_the_same(found: list[tuple[int, int]]) -> None:
    spans = tuple(sorted((start, start + length) for start, length in found))
    answers = Answers({"x": spans_text(spans)})
    assert answers.spans("x") == spans
    answers.done()


def test_spaces_between_two_times_are_as_good_as_one_however_many() -> None:
    """Looked at once: where each is tried as a beginning, as many as these take a minute and everybody else waits."""
    answers = Answers({"x": "9:00" + " " * 100_000 + "-" + " " * 100_000 + "17:00"})
    assert answers.spans("x") == ((540, 1020),)
    wrong = Answers({"x": "9:00" + " " * 100_000 + "17:00"})
    assert wrong.spans("x") == ()
    assert wrong.problems[0].field == "x"


@given(st.text(max_size=40))
def test_any_text_at_all_is_read_or_refused(text: str) -> None:
    answers = Answers({"x": text})
    answers.number("x", 0, 1)
    answers.whole("x", 0, 1)
    answers.clock("x")
    answers.spans("x")
    answers.moment("x")
    answers.name("x")
    answers.choice("x", ("a",))
    with contextlib.suppress(PlanError):
        answers.done()


# --- the wish -----------------------------------------------------------------------------------------------------

TYPED = {"supper": "2026-11-25T19:30", "pan-oven-tray": "1", "formula_key": "bench-tray", "hours": "usual"}


def read(typed: dict[str, str], kitchen: Kitchen | None = None) -> Wish:
    return read_wish(Answers(typed), kitchen or sample_kitchen(), CHOICES, at(6, 50))


def test_five_answers_make_a_wish() -> None:
    wish = read(TYPED)
    assert wish.supper_local == "2026-11-25T19:30"
    assert [(pan.key, pan.count) for pan in wish.pans] == [("oven-tray", 1)]
    assert (wish.formula_key, wish.toppings_key) == ("bench-tray", "tomato")
    assert (wish.room_c, wish.away_today, wish.method_key) == (None, None, "")


@pytest.mark.parametrize(
    ("formula", "typed", "kept"),
    [("bench-tray", "", "tomato"), ("bench-tray", NOTHING, ""), ("bench-tray", "herbs", "herbs"), ("plain", "", "")],
)
def test_toppings_follow_the_dough_unless_said_otherwise(formula: str, typed: str, kept: str) -> None:
    assert read(TYPED | {"formula_key": formula, "toppings_key": typed}).toppings_key == kept


@pytest.mark.parametrize(
    ("hours", "away", "kept"),
    [
        ("usual", "", None), ("home", "", ()),
        ("differ", "8:00-17:45, 19-20", (AwaySpan(480, 1065), AwaySpan(1140, 1200))),
        ("differ", "22:00-6:00", (AwaySpan(1320, 1800),)),
    ],
)  # fmt: skip
def test_hours_of_the_day(hours: str, away: str, kept: tuple[AwaySpan, ...] | None) -> None:
    assert read(TYPED | {"hours": hours, "away": away}).away_today == kept


@pytest.mark.parametrize("ticked", ["usual", "home", "differ"])
def test_hours_typed_are_hours_meant_whatever_is_ticked_beside_them(ticked: str) -> None:
    typed = TYPED | {"hours": ticked, "away": "8-9", "away_was": ""}
    assert read(typed).away_today == (AwaySpan(480, 540),)


@pytest.mark.parametrize(("ticked", "kept"), [("usual", None), ("home", ())])
def test_hours_that_the_form_came_with_give_way_to_a_tick(ticked: str, kept: tuple[AwaySpan, ...] | None) -> None:
    assert read(TYPED | {"hours": ticked, "away": "08:00-09:00", "away_was": "08:00-09:00"}).away_today == kept


@pytest.mark.parametrize(
    ("typed", "name", "area_cm2"),
    [
        ({"other_length": "33", "other_width": "23"}, "Rectangle 33 x 23 cm", 759.0),  # 33 x 23
        ({"other_water_g": "600"}, "Measured pan", 600.0),  # 1 g of water fills 1 cm3: 600 cm2 one centimetre deep
    ],
)
def test_sizes_typed_are_a_pan_meant_though_no_shape_was_chosen(
    typed: dict[str, str], name: str, area_cm2: float
) -> None:
    (pan,) = read(TYPED | typed).pans
    assert (pan.key, pan.area_cm2) == ("other", area_cm2)
    assert pan.name == name


def test_half_a_size_without_a_shape_is_an_error_at_the_field_that_is_missing() -> None:
    with pytest.raises(PlanError) as caught:
        read(TYPED | {"other_length": "33"})
    assert [one.field for one in caught.value.problems] == ["other_width"]


def test_a_pan_that_the_form_came_with_goes_when_its_shape_is_taken_away() -> None:
    typed = TYPED | {"other_shape": "", "other_was": "rectangle", "other_length": "33", "other_width": "23"}
    assert [pan.key for pan in read(typed).pans] == ["oven-tray"]


def test_inches_and_fahrenheit_are_read_in_a_kitchen_that_uses_them() -> None:
    kitchen = Kitchen(zone="Europe/Lisbon", mass_unit="oz", heat_unit="F")
    other = {"other_shape": "rectangle", "other_length": "18", "other_width": "13", "pan-oven-tray": "0"}
    wish = read(TYPED | other | {"room": "70"}, kitchen)
    assert wish.room_c == pytest.approx(21.11, abs=0.01)  # (70 - 32) / 1.8
    assert wish.pans[0].area_cm2 == pytest.approx(1509.7, abs=0.1)  # 18 x 13 in, 2.54 cm to the inch (exact)
    assert wish.pans[0].name == "Rectangle 18 x 13 in"


PANS = st.lists(
    st.sampled_from([
        Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0),
        Pan("round-28", "Round pan 28 cm", "round", 615.8, 2, 28.0, 28.0),
    ]),
    min_size=1, max_size=2, unique_by=lambda pan: pan.key,
)  # fmt: skip


@given(
    pans=PANS,
    room=st.none() | st.tuples(st.integers(0, 45), st.integers(0, 1439)),
    loss=st.integers(0, 20),
    toppings=st.sampled_from(["", "tomato", "herbs"]),
    away=st.none() | st.lists(st.tuples(st.integers(0, 1439), st.integers(1, 1439)), max_size=3),
    fold=st.sampled_from([None, 0, 1]),
)
def test_a_wish_sent_again_is_the_same_wish(
    pans: list[Pan], room: tuple[int, int] | None, loss: int, toppings: str, away: list[tuple[int, int]] | None,
    fold: int | None,
) -> None:  # fmt: skip
    spans = None if away is None else tuple(AwaySpan(start, end) for start, end in sorted((a, a + n) for a, n in away))
    wish = Wish(
        "2026-11-26T19:30", tuple(pans), "bench-tray", toppings, float(room[0]) if room else None, spans,
        "bench-day", 0.7, fold, float(loss), "2026-11-25T08:00", room_min=room[1] if room else None,
    )  # fmt: skip
    kitchen = Kitchen(zone="Europe/Lisbon", pans=(PAN_TRAY, PAN_ROUND))
    assert read(typed_again(wish, kitchen), kitchen) == Wish(
        **{**vars(wish), "pans": tuple(sorted(wish.pans, key=lambda pan: pan.key))}
    )


PAN_TRAY = Pan("oven-tray", "Oven tray 38 x 28 cm", "rectangle", 1064.0, 1, 38.0, 28.0)
PAN_ROUND = Pan("round-28", "Round pan 28 cm", "round", 615.8, 1, 28.0, 28.0)


@pytest.mark.parametrize(
    ("now", "supper"),
    [
        (at(6, 50), "2026-11-25T20:15"), (at(17), "2026-11-25T20:15"), (at(18, 16), "2026-11-26T20:15"),
        (at(23, 59), "2026-11-26T20:15"),
    ],
)  # fmt: skip
def test_the_form_proposes_the_next_evening_at_the_hour_of_the_last(now: int, supper: str) -> None:
    last = Wish("2026-11-20T20:15", (PAN_TRAY,), "bench-tray", "tomato")
    typed = filled_in(last, sample_kitchen(), now, CHOICES)
    assert typed["supper"] == supper
    assert typed["toppings_key"] == "", "what this dough usually has"


def test_another_pan_and_a_way_of_making_it_were_for_that_day_alone() -> None:
    today = Wish("2026-11-20T20:15", (Pan("other", "Oval", "oval", 500.0, 2, 30.0, 21.2),), "bench-tray", "tomato",
                 method_key="two-stage")  # fmt: skip
    typed = filled_in(today, sample_kitchen(), at(6, 50), CHOICES)
    first = sample_kitchen().pans[0].key
    assert (typed[f"pan-{first}"], typed.get("other_shape", ""), typed["method_key"]) == ("1", "", "")
    again = typed_again(today, sample_kitchen())
    assert (again["other_shape"], again["method_key"]) == ("oval", "two-stage"), "planned again, it is the same bake"
    two = replace(today, pans=(replace(PAN_ROUND, count=2), *today.pans))
    assert filled_in(two, sample_kitchen(), at(6, 50), CHOICES)["pan-round-28"] == "2"


OVAL = {"other_shape": "oval", "other_length": "30", "other_width": "20"}


def test_another_pan_for_today_takes_the_place_of_the_usual_one_unless_somebody_says_both() -> None:
    usual = TYPED | {"pan-oven-tray": "1"}
    assert [pan.key for pan in read(usual | OVAL).pans] == ["other"]
    both = read(usual | OVAL | {"other_too": "1", "at_once": "2"})
    assert [(pan.key, pan.count) for pan in both.pans] == [("oven-tray", 1), ("other", 1)]
    assert both.at_once == 2
    again = typed_again(both, sample_kitchen())
    assert (again["other_too"], again["at_once"]) == ("1", "2")
    assert read(again).pans == both.pans
    assert typed_again(read(usual | OVAL), sample_kitchen())["other_too"] == ""


@pytest.mark.parametrize("typed", [{"other_count": "2"}, {"other_too": "1"}])
def test_another_pan_of_no_shape_and_no_size_is_asked_about(typed: dict[str, str]) -> None:
    with pytest.raises(PlanError) as caught:
        read(TYPED | {"pan-oven-tray": "1"} | typed)
    assert [one.field for one in caught.value.problems] == ["other_shape"]


def test_another_pan_that_is_taken_away_may_leave_its_count_behind() -> None:
    left = read(TYPED | {"pan-oven-tray": "1", "other_was": "oval", "other_count": "2", "other_too": "1"})
    assert [pan.key for pan in left.pans] == ["oven-tray"]


# Unicode UTS #51: a cook is a person, U+200D and a pan; a flag of colours a flag, U+FE0F, U+200D and a rainbow.
@pytest.mark.parametrize("name", ["Pizza of the \U0001f469\u200d\U0001f373", "\U0001f3f3\ufe0f\u200d\U0001f308 bread"])
def test_joined_pictures_may_stand_in_a_name(name: str) -> None:
    answers = Answers({"x": name})
    assert answers.name("x") == name
    answers.done()


@pytest.mark.parametrize("name", ["\u200d", "bell\x07", "left\u202eright"])
def test_what_nobody_can_see_is_no_name(name: str) -> None:
    answers = Answers({"x": name})
    answers.name("x")
    with pytest.raises(PlanError, match="needs a name"):
        answers.done()


def test_a_pan_that_left_the_kitchen_comes_back_as_another_pan() -> None:
    wish = Wish("2026-11-25T19:30", (Pan("sold", "Sold", "oval", 500.0, 2, 30.0, 21.2),), "bench-tray")
    again = read(typed_again(wish, sample_kitchen()))
    assert (again.pans[0].shape, again.pans[0].count, again.pans[0].length_cm) == ("oval", 2, 30.0)


def test_the_usual_warmth_and_week_are_said_in_words() -> None:
    kitchen = sample_kitchen()
    assert room_in_words(kitchen) == "18 °C, from 07:00 20 °C, from 17:00 21 °C"
    assert hours_in_words(kitchen.people[0], kitchen.clock) == "Mon–Fri away 08:00–17:45; Sat–Sun at home"
    twelve = replace(kitchen, clock="12", heat_unit="F")
    assert room_in_words(twelve) == "64.4 °F, from 7:00 am 68 °F, from 5:00 pm 69.8 °F"  # F = 1.8 C + 32
    assert hours_in_words(twelve.people[0], "12") == "Mon–Fri away 8:00 am–5:45 pm; Sat–Sun at home"


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"other_length": "30", "other_width": "20"}, ["other_width"]),
        ({"other_length": "30", "other_width": "30"}, []),  # across and across again is no other size
        ({"other_length": "30", "other_water_g": "700"}, ["other_water_g"]),
        ({"other_length": "30", "other_width": "20", "other_was": "rectangle"}, []),  # stood there of another shape
        ({"other_length": "30", "other_width": "20", "other_was": "round"}, ["other_width"]),
    ],
)
def test_a_size_that_a_round_pan_of_today_does_not_have_is_told_of_and_not_dropped(
    typed: dict[str, str], wrong: list[str]
) -> None:
    typed = {"supper": "2026-11-25T19:30", "formula_key": "bench-tray", "other_shape": "round"} | typed
    answers = Answers(typed)
    read_pans(answers, sample_kitchen())
    assert [problem.field for problem in answers.problems] == wrong
    if wrong:
        with pytest.raises(PlanError, match="has no"):
            answers.done()
