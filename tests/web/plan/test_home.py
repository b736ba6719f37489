"""The home page: tonight's answer with nothing typed, answers changed in the address, the day that was seen taken."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from flask import Flask

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.seen import fields_of, mistakes
from webapp.core.plan.plan import Plan
from webapp.kitchens import bakes
from webapp.kitchens.access import change_kitchen
from webapp.machine.settings import Settings
from webapp.planning.full_plan import plans_for
from webapp.web.app import create_app

DAY_S = 86400


def words(page: str) -> str:
    """What can be read."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page))).replace("\u00a0", " ")


def take_form(page: str) -> dict[str, str]:
    """The fields of the form that takes the day."""
    found = re.search(r'<form class="take".*?</form>', page, re.DOTALL)
    assert found, words(page)
    return fields_of(found[0])


def takes(phone: InKitchen, page: str, **changes: str) -> str:
    """Take the day of that page; where it leads."""
    answer = phone.posts("/take", take_form(page) | changes)
    assert answer.status_code == 303, words(answer.text)
    return str(answer.headers["Location"])


def test_by_when_to_be_home_stays_on_the_bakes_page_until_then(real: InKitchen, clock: Clock) -> None:
    page = real.get("/").text
    said = re.search(r"home by (\d\d:\d\d) at the latest", words(page))
    assert said
    where = takes(real, page)
    assert f"home by {said[1]} at the latest" in words(real.get(where).text)
    clock.now = plan_of(real, where).supper
    assert "at the latest" not in words(real.get(where).text)


def plan_of(phone: InKitchen, where: str) -> Plan:
    """The plan at that address."""
    return bakes.picked(phone.store, phone.kitchen_id(), where.rsplit("/", 1)[1])


YEAST = r"[\d.]+ g(?: \([^)]+ tsp\))? instant yeast"


def links(page: str, marked: str) -> dict[str, str]:
    """Words and addresses of the links that a script swaps in place, or asks with."""
    found = re.findall(rf'<a[^>]*\s{marked}\s[^>]*href="([^"]+)"[^>]*>(.*?)</a>', page)
    return {words(said).strip(): html.unescape(where) for where, said in found}


def test_a_first_visit_is_answered_on_guesses_and_makes_nothing(real: InKitchen) -> None:
    answer = real.get("/")
    said = words(answer.text)
    assert "Tonight, 19:30" in said
    # the newcomer's kitchen: an oven tray, the first dough of the list, home from a quarter to six
    dough = "Plain tray pizza with tomato and melting cheese"
    assert re.search(rf"Oven tray 38×28 cm\s*, {dough}\s*, kitchen 18–21 °C\s*, home from 17:45", said)
    assert "Guessed: tap tray and hours if they differ." in said
    assert re.search(r"\d\d:\d[05] mix", said)
    # in a kitchen nobody has measured, out of the fridge and pressed out at one visit
    visit = r"\d\d:\d[05] dough out, press out \(home by \d\d:\d[05] at the latest\)"
    assert re.search(visit, said)
    lines = words(re.findall(r'<dl class="day__lines">.*?</dl>', answer.text, re.DOTALL)[0])
    assert lines.count("press out") == 1, "one line for one act"
    toppings = r"\d+ g raw crushed tomatoes, \d+ g low-moisture mozzarella, [\d.]+ g basil leaves"
    much = (
        toppings
        + r", \d+ g strong white flour, [\d.]+ g olive oil, fine salt, [\d.]+ g(?: \([^)]+ tsp\))? instant yeast"
    )
    assert re.search(rf"To buy or have there: {much}\.", said)
    assert not [one for one in answer.headers.getlist("Set-Cookie") if one.startswith("suppertide=")]
    with real.store.reading() as db:
        assert db.exec_driver_sql("SELECT count(*) FROM kitchens").fetchone()[0] == 0


def test_what_a_dough_with_milk_needs_is_named_though_nothing_lies_on_it(real: InKitchen) -> None:
    said = words(real.get("/?supper=2026-11-29T19:30&formula_key=milk-round&pan=round-28").text)
    much = r"\d+ g strong white flour, \d+ g milk, \d+ g butter, \d+ g sugar, fine salt, " + YEAST
    assert re.search(rf"To buy or have there: {much}\.", said)


def test_one_tap_takes_the_day_that_was_seen(real: InKitchen) -> None:
    page = real.get("/").text
    where = takes(real, page)
    plan = plan_of(real, where)
    assert bakes.seen_as(replace(plan, bake_id="")) == take_form(page)["seen"]
    assert plan.bake_id == where.rsplit("/", 1)[1]
    assert real.get(where).status_code == 200


def test_a_form_sent_twice_makes_one_bake(kitchen: InKitchen) -> None:
    page = kitchen.get("/").text
    assert takes(kitchen, page) == takes(kitchen, page)
    answer = kitchen.get("/api/bakes").json
    assert answer is not None
    assert len(answer["bakes"]) == 1


def test_a_kitchen_that_has_learned_is_asked_once_in_five_minutes_and_takes_what_it_saw(
    settings: Settings, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a reading says fades by the second: the page and the taking of its day mean one and the same instant."""
    monkeypatch.setattr("webapp.kitchens.bakes.zone_here", lambda: "Europe/London")
    calls = []

    def counted(*asked: Any) -> tuple[Plan, ...]:
        calls.append(asked)
        return plans_for(*asked)

    phone = InKitchen(create_app(settings, planner=counted, now=clock).test_client())
    clock.now = at(6, 50) - DAY_S // 2
    glass = phone.posts("/test-glass", {"room": "21"}, page="/test-glass").headers["Location"].rsplit("#", 1)[1]
    clock.now += 3 * 3600
    read = phone.posts(f"/test-glass/{glass}", {"first": "30", "height": "75", "at": "21:40"}, page="/test-glass")
    assert read.status_code == 303, words(read.text)
    clock.now = at(6, 51) + 40
    calls.clear()
    phone.get("/")
    clock.now += 1
    page = phone.get("/").text
    assert len(calls) == 1
    clock.now += 30
    plan = plan_of(phone, takes(phone, page))
    assert plan.vigour_ln_mean > 0
    assert bakes.seen_as(replace(plan, bake_id="")) == take_form(page)["seen"]


def test_a_day_taken_again_after_its_ways_were_changed_takes_no_other_one(kitchen: InKitchen) -> None:
    page = kitchen.get("/").text
    bake_id = takes(kitchen, page).rsplit("/", 1)[1]
    row = kitchen.store.bake(kitchen.kitchen_id(), bake_id)
    assert row is not None
    other = {**row.offers[0], "title": "Something else", "revision": 2}
    kitchen.store.put_offers(kitchen.kitchen_id(), bake_id, row.wish, [other], at(6, 55))
    kitchen.store.add_plan(kitchen.kitchen_id(), bake_id, other, at(6, 55))
    assert kitchen.posts("/take", take_form(page)).status_code == 409
    assert bakes.picked(kitchen.store, kitchen.kitchen_id(), bake_id).title == "Something else"


def test_an_evening_that_is_tapped_counts_though_the_present_one_is_weeks_away(kitchen: InKitchen) -> None:
    form = kitchen.get("/change/when?supper=2026-12-08T19:30").text
    answered = fields_of(re.search(r"<form[^>]*data-answer.*?</form>", form, re.DOTALL)[0])  # type: ignore[index]
    assert answered["day"] == "2026-12-08"
    page = kitchen.get("/", query_string=answered | {"day": "2026-11-26"}).text
    assert take_form(page)["supper"] == "2026-11-26T19:30"


def test_a_page_that_stood_open_takes_what_it_shows_though_minutes_have_gone_by(real: InKitchen, clock: Clock) -> None:
    page = real.get("/").text
    clock.now += 17 * 60  # seven minutes past seven; mixing is at a quarter past at the earliest
    plan = plan_of(real, takes(real, page))
    assert bakes.seen_as(replace(plan, bake_id="")) == take_form(page)["seen"]
    assert plan.made_at == clock.now


@pytest.mark.parametrize("later_s", [3 * 3600, 2 * DAY_S])
def test_a_day_that_has_begun_without_anybody_is_not_taken_and_what_fits_now_is_shown(
    real: InKitchen, clock: Clock, later_s: int
) -> None:
    real.kitchen_id()  # there already: a refused form makes none, and nobody's bakes are not listed
    page = real.get("/").text
    clock.now += later_s
    answer = real.posts("/take", take_form(page))
    assert answer.status_code in (409, 422)
    listed = real.get("/api/bakes").json
    assert listed is not None
    assert listed["bakes"] == []


def test_what_was_not_seen_is_not_taken(kitchen: InKitchen) -> None:
    page = kitchen.get("/").text
    answer = kitchen.posts("/take", take_form(page) | {"seen": "0" * 64})
    assert answer.status_code == 409
    assert "nothing was taken" in answer.text
    assert take_form(answer.text)["seen"] == take_form(page)["seen"], "what fits now can be taken there"


def test_another_evening_another_pan_and_another_room_are_worked_out_from_the_address(real: InKitchen) -> None:
    page = real.get("/?supper=2026-11-28T18:30&pan-oven-tray=0&pan-round-28=2&room=26").text
    assert "Saturday, 18:30" in words(page)
    assert "2 × Round pan" in words(page)
    assert "kitchen 26–29 °C that day" in words(page), "26 at 6:50, where 18 is usual, is eight more all day"
    plan = plan_of(real, takes(real, page))
    assert [(one.key, one.count) for one in plan.pans] == [("round-28", 2)]


def test_each_of_the_other_ways_can_be_looked_at_and_taken(real: InKitchen) -> None:
    page = real.get("/").text
    other = [where for where in links(page, "data-swap").values() if "way=" in where][1]
    shown = real.get(other).text
    assert take_form(shown)["seen"] != take_form(page)["seen"]
    plan = plan_of(real, takes(real, shown))
    assert bakes.seen_as(replace(plan, bake_id="")) == take_form(shown)["seen"]


def test_a_day_and_a_time_answered_apart_are_the_supper_in_the_kitchen_s_own_style(kitchen: InKitchen) -> None:
    owner = kitchen.kitchen_id()
    change_kitchen(kitchen.store, owner, lambda mine: replace(mine, clock="12"))
    page = kitchen.get("/?day=2026-11-27&at=7%3A45+pm").text
    assert "Friday, 7:45 pm" in words(page)
    asked = kitchen.get("/change/when?supper=2026-11-27T19:45").text
    assert re.search(r'name="at"[^>]*value="7:45 pm"', asked)


def test_a_day_that_is_written_counts_instead_of_the_evening_that_is_ticked(kitchen: InKitchen) -> None:
    page = kitchen.get("/?day=2026-11-27&date=2026-12-03&at=20").text
    assert 'name="supper" value="2026-12-03T20:00"' in page


@pytest.mark.parametrize("question", ["when", "pan", "dough", "warm", "who"])
def test_each_question_has_a_page_of_its_own_that_keeps_all_other_answers(kitchen: InKitchen, question: str) -> None:
    changed = "supper=2026-11-28T18:30&pan-round-28=2&formula_key=oil-tray&room=26&hours=differ&away=9:00-10:00"
    page = kitchen.get(f"/change/{question}?{changed}").text
    form = re.search(r"<form[^>]*data-answer.*?</form>", page, re.DOTALL)
    assert form
    answered = fields_of(form[0])
    back = kitchen.get("/", query_string=answered).text
    said = take_form(back)
    assert said["supper"] == "2026-11-28T18:30"
    assert said["pan-round-28"] == "2"
    assert said["formula_key"] == "oil-tray"
    assert said["room"] == "26"
    assert said["away"] == "09:00-10:00"


def test_a_pan_of_today_is_named_with_its_size_from_numbers_alone_until_its_shape_is_taken_away(
    kitchen: InKitchen,
) -> None:
    page = kitchen.get("/?other_shape=&other_length=33&other_width=23&other_was=").text
    assert "Rectangle 33×23 cm" in words(page)
    asked = kitchen.get("/change/pan?other_shape=rectangle&other_length=33&other_width=23").text
    assert 'name="other_was" value="rectangle"' in asked
    gone = kitchen.get("/?other_shape=&other_length=33&other_width=23&other_was=rectangle").text
    assert "Rectangle" not in words(gone)


def test_there_is_no_other_question(kitchen: InKitchen) -> None:
    assert kitchen.get("/change/weather").status_code == 404


def test_hours_typed_count_though_as_usual_stays_ticked(kitchen: InKitchen) -> None:
    page = kitchen.get("/?hours=usual&away=13:00-15:00&away_was=").text
    assert "home from 15:00" in words(page)
    assert take_form(page)["away"] == "13:00-15:00"


@pytest.mark.parametrize(
    ("asked", "field", "typed", "wrong"),
    [
        ("room=warm", "room", "warm", "not a number"),
        ("away=all+day", "away", "all day", "not a stretch of the day"),
        ("at=teatime&day=2026-11-27", "at", "teatime", "not a time of day"),
        ("pan-oven-tray=0", "pan-oven-tray", "0", "No pan is chosen"),
        ("supper=2026-11-20T19:30", "at", "19:30", "already past"),
    ],
)
def test_a_wrong_answer_comes_back_to_its_own_question_with_all_that_was_typed(
    kitchen: InKitchen, asked: str, field: str, typed: str, wrong: str
) -> None:
    answer = kitchen.get(f"/?{asked}&loss_percent=3&formula_key=oil-tray")
    assert answer.status_code == 422
    assert wrong in mistakes(answer.text)
    assert re.search(rf'name="{field}"[^>]*value="{typed}"', answer.text)
    assert re.search(r'name="formula_key"[^>]*value="oil-tray"', answer.text)
    assert re.search(r'name="loss_percent"[^>]*value="3"', answer.text)


def test_when_tonight_cannot_be_it_says_why_in_a_sentence_and_offers_what_would_work(
    real: InKitchen, clock: Clock
) -> None:
    clock.now = at(16)  # home when supper was to be, and the quickest dough takes three
    page = real.get("/?hours=differ&away=8-19:30").text
    said = words(page)
    assert "Not tonight at 19:30" in said
    assert "somebody must be at home all that time" in said
    near = {said: where for said, where in links(page, "data-swap").items() if said.startswith(("Eat", "Come"))}
    assert near
    for where in near.values():
        assert take_form(real.get(where).text), where


def test_an_address_holds_no_more_than_what_is_not_as_usual(kitchen: InKitchen) -> None:
    ask = links(kitchen.get("/?room=26").text, "data-ask")
    asked = next(where for where in ask.values() if "/change/pan" in where)
    assert parse_qs(urlsplit(asked).query) == {"room": ["26"], "room_at": ["26 06:50"]}, "and when it was read"


def test_what_is_on_the_go_stands_on_top_and_what_was_eaten_is_gone(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    page = kitchen.get("/").text
    assert page.index(f'href="/kitchen#{bake_id}"') < page.index("<h1>")
    assert "To the kitchen" in words(page)
    clock.now = at(19, 40)
    steps = bakes.picked(kitchen.store, kitchen.kitchen_id(), bake_id).steps
    kitchen.sends(bake_id, *(event(bake_id, "done", step_id=one.step_id) for one in steps))
    assert bake_id not in kitchen.get("/").text


def test_a_bake_whose_last_taps_were_forgotten_leaves_three_hours_after_supper(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(22, 20)
    assert bake_id in kitchen.get("/").text
    clock.now = at(22, 40)
    assert bake_id not in kitchen.get("/").text


def test_yesterdays_hours_away_and_method_are_not_tonights(kitchen: InKitchen, clock: Clock) -> None:
    kitchen.plans({"hours": "differ", "away": "9:00-12:00", "method_key": "cold", "formula_key": "oil-tray",
                   "supper": "2026-11-25T18:45", "pan-oven-tray": "0", "pan-round-28": "1"})  # fmt: skip
    clock.now += DAY_S
    said = take_form(kitchen.get("/").text)
    assert said["supper"] == "2026-11-26T19:30", "nothing was taken for that hour, nor is once a habit"
    assert (said["hours"], said["away"], said["method_key"]) == ("usual", "", "")
    assert (said["formula_key"], said["pan-round-28"]) == ("oil-tray", "1")


def test_a_later_supper_that_is_mixed_sooner_says_why_and_no_other_does(real: InKitchen) -> None:
    """At ten to seven both go into the fridge, and that for a quarter to eight at once."""
    why = "You begin sooner than for supper at 19:30: here it rises longer, in the bowl and in the tray."
    assert why in words(real.get("/?at=19:45").text)
    for address in ("/", "/?at=19:15", "/?at=18:45"):
        assert "You begin sooner" not in words(real.get(address).text), address


@pytest.mark.parametrize(
    ("asked", "ways", "said"),
    [
        ({}, 2, False),
        ({"formula_key": "milk-round"}, 1, True),
        ({"method_key": "cold"}, 1, False),  # asked for by name: nothing has vanished
    ],
)
def test_where_no_other_way_fits_it_says_so_in_their_place(
    real: InKitchen, asked: dict[str, str], ways: int, said: bool
) -> None:
    page = real.get("/", query_string=asked).text
    assert len(re.findall(r'<th scope="row">', page)) == (ways if ways > 1 else 0)
    assert ("Only this way fits." in words(page)) is said


def test_where_the_usual_hour_has_no_day_there_is_nothing_to_be_sooner_than(kitchen: InKitchen) -> None:
    page = words(kitchen.get("/?hours=differ&away=8:00-19:00&method_key=cold&at=21:00").text)
    assert "You begin sooner" not in page


def test_a_script_is_given_the_changing_part_alone(kitchen: InKitchen) -> None:
    part = kitchen.get("/?room=26", headers={"X-Part": "day"}).text
    assert "<html" not in part
    assert take_form(part)["room"] == "26"
    question = kitchen.get("/change/warm", headers={"X-Part": "question"}).text
    assert "<html" not in question
    assert 'name="room"' in question


def test_nobody_sees_another_kitchens_days(app: Flask, kitchen: InKitchen) -> None:
    mine = kitchen.has_a_bake()
    other = InKitchen(app.test_client())
    other.kitchen_id()
    assert mine not in other.get("/").text


@pytest.mark.parametrize("read", [49.0, -5.0])
def test_a_reading_that_no_dough_is_planned_for_leaves_the_home_page_as_it_is(kitchen: InKitchen, read: float) -> None:
    """The phone takes readings from -10 to 60 degrees C; a wish from 0 to 45."""
    bake_id = takes(kitchen, kitchen.get("/").text).rsplit("/", 1)[1]
    told = kitchen.sends(bake_id, event(bake_id, "room", temp_c=read) | {"at": at(6, 50), "logged_at": at(6, 50)})
    assert told.status_code == 200
    page = kitchen.get("/")
    assert page.status_code == 200
    assert "To the kitchen" in words(page.text)
    assert take_form(page.text)


def test_on_the_night_of_the_clock_change_the_first_of_two_suppers_is_meant(kitchen: InKitchen, clock: Clock) -> None:
    """Europe/London, 25 October 2026: 01:30 is shown twice (IANA time zone data)."""
    kitchen.plans({"supper": "2026-11-26T01:30"})
    clock.now = 1792800000  # 24 October 2026, 00:00 UTC
    page = kitchen.get("/")
    assert "comes twice" not in page.text
    assert page.status_code == 200


def test_a_pan_and_a_way_for_one_day_are_not_taken_for_the_next(real: InKitchen) -> None:
    asked = "other_shape=round&other_length=30&method_key=cold&pan-oven-tray=0&supper=2026-11-27T19:30"
    page = real.get(f"/?{asked}").text
    assert "Round pan" in words(page)
    takes(real, page)
    after = words(real.get("/").text)
    assert re.search(r"Oven tray 38×28 cm\s*, Plain tray pizza with", after)
    week = real.get("/week").text
    assert "method_key=cold" not in week


def test_two_trays_that_go_in_together_are_carried_from_question_to_answer(kitchen: InKitchen) -> None:
    after, together = (kitchen.get(f"/change/pan?pan-oven-tray=2{more}").text for more in ("", "&at_once=2"))
    asked = re.compile(r"<details open>\s*<summary>Two pans or more</summary>")
    assert asked.search(after), "with two pans it is asked"
    assert 'name="at_once"' in together
    assert re.search(r'name="at_once"[^>]*value="2"|value="2"[^>]*name="at_once"', together)
    warm = kitchen.get("/change/warm?pan-oven-tray=2&at_once=2").text
    assert re.search(r'type="hidden" name="at_once" value="2"', warm)
    assert not asked.search(kitchen.get("/change/pan").text), "with one it is not"


def test_when_no_small_change_of_a_late_evening_helps_the_next_evening_that_works_is_a_button(
    real: InKitchen, clock: Clock
) -> None:
    clock.now = at(22, 45)  # the oven would be on while everybody is asleep
    page = real.get("/?supper=2026-11-25T23:56").text
    near = re.search(r'<ul class="near">.*?</ul>', page, re.DOTALL)
    assert near
    assert words(near[0]).strip() == "Eat on Thursday 19:30"
    href = re.search(r'href="([^"]+)"', near[0])
    assert href
    assert "Take this day" in words(real.get(html.unescape(href[1])).text)


def test_hours_that_differ_on_the_evening_asked_for_do_not_go_along_to_another(real: InKitchen, clock: Clock) -> None:
    clock.now = at(22, 45)
    page = real.get("/?supper=2026-11-25T23:56&hours=differ&away=09:00-23:00").text
    near = re.search(r'<a[^>]*href="([^"]+)"[^>]*>Eat on Thursday 19:30</a>', page)
    assert near
    there = html.unescape(near[1])
    assert "away" not in there
    assert "Take this day" in words(real.get(there).text)
