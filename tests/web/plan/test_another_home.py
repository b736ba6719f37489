"""Somebody else who is home: from then on the hours away of whoever asks keep no step out."""

from __future__ import annotations

import re

import pytest

from tests.web.conftest import InKitchen
from tests.web.seen import fields_of, mistakes, words


def test_with_somebody_else_home_an_evening_fits_that_nobody_was_home_for(real: InKitchen) -> None:
    away = "supper=2026-11-25T19:30&hours=differ&away=8-19"
    assert "Not tonight" in words(real.get(f"/?{away}").text)
    page = words(real.get(f"/?{away}&else_from=16:30").text)
    assert "home from 16:30" in page
    assert "Take this day" in page


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("hours=usual&else_from=16:00", "home from 16:00"),  # a weekday's 8:00 to 17:45, cut
        ("hours=usual&else_from=4 pm", "home from 16:00"),
        ("hours=usual&else_from=20:00", "home from 17:45"),  # later than that it cuts nothing
        ("hours=usual&else_from=7:00", "home all day"),
        ("hours=home&else_from=16:00", "home all day"),
        ("hours=differ&away=9-11, 13-18&else_from=15:00", "home from 15:00"),
    ],
)
def test_hours_away_end_when_somebody_else_is_home(real: InKitchen, asked: str, said: str) -> None:
    assert said in words(real.get(f"/?supper=2026-11-25T19:30&{asked}").text)


def test_an_hour_that_is_none_is_said_at_its_field_with_all_that_was_typed(real: InKitchen) -> None:
    answer = real.get("/?supper=2026-11-25T19:30&hours=differ&away=8-19&else_from=teatime")
    assert answer.status_code == 422
    assert mistakes(answer.text)
    assert "“teatime” is not a time of day." in words(answer.text)
    form = re.search(r"<form[^>]*data-answer.*?</form>", answer.text, re.DOTALL)
    assert form
    assert (fields_of(form[0])["else_from"], fields_of(form[0])["away"]) == ("teatime", "8-19")


def test_hours_that_cannot_be_read_are_told_of_and_not_cut(real: InKitchen) -> None:
    answer = real.get("/?supper=2026-11-25T19:30&hours=differ&away=all day&else_from=16:00")
    assert "is not a stretch of the day" in words(answer.text)


def test_the_form_with_all_questions_asks_it_too(real: InKitchen) -> None:
    assert "Someone else is home from" in words(real.get("/plan").text)
    refused = real.posts("/plan", real.answers(hours="differ", away="8-19"))
    assert refused.status_code == 422
    wrong = real.posts("/plan", real.answers(hours="differ", away="8-19", else_from="noonish"))
    assert "“noonish” is not a time of day." in words(wrong.text)
    assert real.posts("/plan", real.answers(hours="differ", away="8-19", else_from="16:30")).status_code == 303
