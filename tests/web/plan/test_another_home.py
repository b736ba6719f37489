"""Somebody else who is home: what suits them alone says so, rings on no phone of the house, and has its own file."""

from __future__ import annotations

import re

import pytest

from tests.planning.test_full_plan import KITCHEN, MORNING, SHELF, plans, wish
from tests.reminders.test_moments import rung
from tests.web.conftest import InKitchen
from tests.web.plan.test_home import plan_of, takes
from tests.web.seen import fields_of, mistakes, words
from webapp.core.errors import PlanError
from webapp.core.kitchen import AwaySpan, Person
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import ANOTHER, is_anothers
from webapp.planning.away import with_another
from webapp.planning.full_plan import NothingFits, plans_for
from webapp.reminders.moments import entries_for, for_another

OUT_TILL_SEVEN = (AwaySpan(8 * 60, 19 * 60),)
ASKED = "supper=2026-11-25T19:30&hours=differ&away=8-19"


def at_work(else_from_min: int | None) -> Plan:
    """Out from eight to seven; by hand: of a supper at 19:30 pressing and lighting the oven fall into these hours."""
    return plans(wish(away_today=OUT_TILL_SEVEN, else_from_min=else_from_min))[0]


def test_with_somebody_else_home_an_evening_fits_that_nobody_was_home_for(real: InKitchen) -> None:
    assert "Not at 19:30: nobody is free for the oven from about 18:" in words(real.get(f"/?{ASKED}").text)
    page = words(real.get(f"/?{ASKED}&else_from=16:30").text)
    assert "home from 19:00, somebody else from 16:30" in page
    assert "Take this day" in page


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("hours=usual&else_from=16:00", "home from 17:45, somebody else from 16:00"),
        ("hours=usual&else_from=4 pm", "home from 17:45, somebody else from 16:00"),
        ("hours=usual&else_from=20:00", "home from 17:45, somebody else from 20:00"),
        ("hours=home&else_from=16:00", "home all day, somebody else from 16:00"),
        ("hours=differ&away=9-11, 13-18&else_from=15:00", "home from 18:00, somebody else from 15:00"),
    ],
)
def test_what_was_answered_stands_on_the_page_and_hours_away_stay_as_they_were_told(
    real: InKitchen, asked: str, said: str
) -> None:
    assert said in words(real.get(f"/?supper=2026-11-25T19:30&{asked}").text)


def test_the_answer_is_there_again_where_it_is_asked(real: InKitchen) -> None:
    page = real.get(f"/change/who?{ASKED}&else_from=4 pm").text
    form = re.search(r"<form[^>]*data-answer.*?</form>", page, re.DOTALL)
    assert form
    assert fields_of(form[0])["else_from"] == "16:00"


def test_each_step_says_who_does_it_while_whoever_asked_is_out() -> None:
    plan = at_work(16 * 60)
    home = next(one.end for one in plan.busy if one.kind == "away")
    for step in plan.steps:
        out = step.presence != "none" and plan.busy[0].start <= step.start < home and step.start >= home - 3 * 3600
        assert step.title.endswith("(somebody else)") == (out or is_anothers(step)), step
        assert not out or "by the plan: somebody else." in step.text
    assert [one for one in plan.steps if is_anothers(one)]
    assert not [one for one in plan.steps if is_anothers(one) and one.start >= home]


def test_their_steps_ring_on_no_phone_of_the_house_and_make_nobody_there_busy() -> None:
    plan = at_work(16 * 60)
    home = next(one.end for one in plan.busy if one.kind == "away")
    shown = entries_for(plan, kitchen=KITCHEN)
    theirs = [one for one in shown if one.who == (ANOTHER,)]
    assert theirs
    assert all(one.alarm_min < 0 and not one.busy for one in theirs)
    assert all(when >= home - 600 for when, _ in rung(shown)[1:]), "but for mixing before leaving, from coming home on"


def test_their_own_file_rings_them_and_calls_them_nobody_else() -> None:
    plan = at_work(16 * 60)
    theirs = for_another(entries_for(plan, kitchen=KITCHEN), plan, KITCHEN, MORNING)
    assert [one.title for one in theirs]
    assert all("somebody else" not in one.title for one in theirs)
    two = for_another(entries_for(plan, kitchen=KITCHEN, which="Focaccia"), plan, KITCHEN, MORNING)
    assert [one.title for one in two] == [f"{one.title} (Focaccia)" for one in theirs], "of two bakes it says which"
    assert all(one.alarm_min >= 0 for one in theirs)
    after = for_another(entries_for(plan, kitchen=KITCHEN), plan, KITCHEN, plan.supper)
    assert all(one.alarm_min < 0 for one in after), "nothing rings that is over"


def test_the_bakes_page_hands_that_file_out_and_without_somebody_else_there_is_none(real: InKitchen) -> None:
    where = takes(real, real.get(f"/?{ASKED}&else_from=16:00").text)
    assert "Somebody else’s steps" in words(real.get(where).text)
    file = real.get(f"{where}/another.ics")
    assert file.status_code == 200
    mine = real.get(f"{where}/bake.ics").text
    assert file.text.count("BEGIN:VALARM") == len(re.findall(r"SUMMARY:[^\r]*somebody else", mine)) > 0
    assert plan_of(real, where).steps[0].who
    alone = takes(real, real.get("/?supper=2026-11-26T19:30").text)
    assert "Somebody else’s steps" not in words(real.get(alone).text)
    assert real.get(f"{alone}/another.ics").status_code == 404


def test_who_is_home_for_one_day_is_not_asked_to_come_home_on_others() -> None:
    """On the day before and after they are out; a supper two days on has them on that day alone."""
    asked = wish(supper_local="2026-11-27T19:30", away_today=OUT_TILL_SEVEN, else_from_min=0)
    plan = plans(asked)[0]
    for step in plan.steps:
        assert ANOTHER not in step.who or step.start >= plan.supper - 19.5 * 3600, step
    house = with_another(asked, KITCHEN)
    assert [one.name for one in house.people] == [*(one.name for one in KITCHEN.people), ANOTHER]


def test_nobody_else_is_asked_to_be_home_sooner_where_no_day_fits() -> None:
    """Whose hours can be told to differ is somebody of the house; of another nothing is proposed."""
    asked = wish(away_today=(AwaySpan(7 * 60, 19 * 60 + 20),), else_from_min=19 * 60 + 10)
    with pytest.raises(PlanError) as found:
        plans_for(asked, KITCHEN, MORNING, "b" * 22, SHELF)
    assert isinstance(found.value, NothingFits)
    assert all(near.wish.away_person < len(KITCHEN.people) for near in found.value.nearest)


def test_a_house_has_nobody_of_no_name() -> None:
    assert Person().name != ANOTHER


def test_an_hour_that_is_none_is_said_at_its_field_with_all_that_was_typed(real: InKitchen) -> None:
    answer = real.get(f"/?{ASKED}&else_from=teatime")
    assert answer.status_code == 422
    assert mistakes(answer.text)
    assert "“teatime” is not a time of day." in words(answer.text)
    form = re.search(r"<form[^>]*data-answer.*?</form>", answer.text, re.DOTALL)
    assert form
    assert (fields_of(form[0])["else_from"], fields_of(form[0])["away"]) == ("teatime", "8-19")


def test_hours_that_cannot_be_read_are_told_of(real: InKitchen) -> None:
    answer = real.get("/?supper=2026-11-25T19:30&hours=differ&away=all day&else_from=16:00")
    assert "is not a stretch of the day" in words(answer.text)


def test_the_form_with_all_questions_asks_it_too(real: InKitchen) -> None:
    assert "Somebody else is home from" in words(real.get("/plan").text)
    refused = real.posts("/plan", real.answers(hours="differ", away="8-19"))
    assert refused.status_code == 422
    wrong = real.posts("/plan", real.answers(hours="differ", away="8-19", else_from="noonish"))
    assert "“noonish” is not a time of day." in words(wrong.text)
    assert real.posts("/plan", real.answers(hours="differ", away="8-19", else_from="16:30")).status_code == 303
