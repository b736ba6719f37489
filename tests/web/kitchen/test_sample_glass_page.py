"""The test glass on its page: set up, read, taken back, thrown away; what it teaches reaches the book and the plan."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from flask import Flask

from tests.web.conftest import SAME, Clock, InKitchen
from webapp.core.kitchen import Kitchen, PartOfDay
from webapp.core.learning.vigour import PRIOR
from webapp.kitchens import book, take_along
from webapp.kitchens import sample_glass as use
from webapp.kitchens.access import change_kitchen

PAGE = "/test-glass"


def at(hour: int, minute: int = 0) -> int:
    """A winter evening in London, where clocks show UTC."""
    return int(datetime(2026, 11, 25, hour, minute, tzinfo=UTC).timestamp())


@pytest.fixture
def evening(clock: Clock) -> Clock:
    clock.now = at(18)
    return clock


def begun(kitchen: InKitchen, **typed: str) -> str:
    """Draw the line; the glass's key."""
    answer = kitchen.posts(PAGE, typed, page=PAGE)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["Location"].rsplit("#", 1)[1])


def says(kitchen: InKitchen, key: str, **typed: str) -> tuple[int, str]:
    answer = kitchen.posts(f"{PAGE}/{key}", typed, page=PAGE)
    return answer.status_code, answer.text


def taught(app: Flask, kitchen: InKitchen, now: int) -> book.Taught:
    return book.taught(app.extensions["suppertide"].store, now, kitchen.kitchen_id())


def test_the_page_says_what_to_weigh_what_it_contains_and_what_to_beware_of(kitchen: InKitchen, evening: Clock) -> None:
    page = kitchen.get(PAGE).text.replace("\u00a0", " ")
    for words in ("300 g", "50 g of flour", "34 g of that water", "gluten (wheat)", "do not taste raw dough",
                  "not for eating", "never screw a lid on", "Salt"):  # fmt: skip
        assert words in page
    assert "<script" not in page.split("<main")[1].split("</main>")[0]


def test_a_warmer_kitchen_gets_less_yeast(kitchen: InKitchen, evening: Clock) -> None:
    def yeast(path: str) -> float:
        found = re.search(r"<dt>Instant (?:dry )?yeast</dt><dd>([\d.]+)", kitchen.get(path).text)
        assert found
        return float(found[1])

    assert yeast(f"{PAGE}?room=28") < yeast(PAGE) < yeast(f"{PAGE}?room=15")
    wrong = kitchen.get(f"{PAGE}?room=hot")
    assert wrong.status_code == 422
    assert "not a number" in wrong.text


def test_a_reading_is_learned_from_and_shown_in_the_book(app: Flask, kitchen: InKitchen, evening: Clock) -> None:
    key = begun(kitchen, room="21")
    assert "Look about 20:" in kitchen.get(PAGE).text
    evening.now = at(21, 30)
    assert says(kitchen, key, first="30", height="75", at="21:10", room="21.5")[0] == 303
    (lesson,) = taught(app, kitchen, at(22)).lessons
    assert (lesson.at, lesson.times) == (at(21, 10), 2.5)
    assert lesson.quicker > 1.2  # the middle kitchen doubles it in three hours; this one had E = 1.5
    known = taught(app, kitchen, at(22)).kitchen
    assert known.vigour_ln_mean > 0.1
    assert known.vigour_ln_sd < 0.75 * PRIOR[1]
    assert "test glass at" in kitchen.get("/book").text
    assert f"{PAGE}#{key}" in kitchen.get("/book").text


def test_height_may_be_in_any_unit_and_with_a_comma(app: Flask, kitchen: InKitchen, evening: Clock) -> None:
    key = begun(kitchen)
    evening.now = at(21)
    says(kitchen, key, first="1,5", height="3")
    (lesson,) = taught(app, kitchen, at(22)).lessons
    assert (lesson.times, lesson.at) == (2.0, at(21))


def test_after_midnight_the_evening_s_clock_is_still_meant(app: Flask, kitchen: InKitchen, evening: Clock) -> None:
    key = begun(kitchen)
    evening.now = at(23) + 5400
    says(kitchen, key, first="30", height="60", at="22:45")
    (lesson,) = taught(app, kitchen, evening.now).lessons
    assert lesson.at == at(22, 45)


def test_a_time_that_the_clocks_skipped_that_night_is_said(kitchen: InKitchen, clock: Clock) -> None:
    clock.now = int(datetime(2026, 3, 28, 23, tzinfo=UTC).timestamp())
    key = begun(kitchen)
    clock.now = int(datetime(2026, 3, 29, 2, 30, tzinfo=UTC).timestamp())  # 3:30 by the clock; 1:30 was jumped over
    assert says(kitchen, key, first="30", height="60", at="1:30")[0] == 422


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"first": "30", "height": "30"}, "says nothing"),
        ({"first": "", "height": "40"}, "needs a number"),
        ({"first": "30", "height": "60", "at": "soon"}, "no time of day"),
        ({"first": "30", "height": "60", "at": "17:00"}, "not within a day"),
        ({"first": "30", "height": "60", "room": "99"}, "out of reach"),
    ],
)
def test_a_mistake_stays_at_its_field_with_all_that_was_typed(
    app: Flask, kitchen: InKitchen, evening: Clock, typed: dict[str, str], words: str
) -> None:
    key = begun(kitchen)
    evening.now = at(20)
    status, page = says(kitchen, key, **typed)
    assert status == 422
    assert words in page
    assert f'value="{typed["height"]}"' in page
    assert taught(app, kitchen, at(21)).lessons == ()


def test_a_room_that_no_glass_rises_in_is_said_before_anything_is_kept(kitchen: InKitchen, evening: Clock) -> None:
    answer = kitchen.posts(PAGE, {"room": "4"}, page=PAGE)
    assert answer.status_code == 422
    assert "out of reach" in answer.text
    assert "Since" not in kitchen.get(PAGE).text


def test_a_kitchen_that_is_cold_by_habit_can_still_open_the_page(
    app: Flask, kitchen: InKitchen, evening: Clock
) -> None:
    store = app.extensions["suppertide"].store
    change_kitchen(store, kitchen.kitchen_id(), lambda k: replace(k, room=(PartOfDay(0, 8.0),)))
    page = kitchen.get(PAGE)
    assert page.status_code == 200
    assert kitchen.get(f"{PAGE}?room=19").status_code == 200


def test_what_was_taken_back_or_thrown_away_teaches_nothing(app: Flask, kitchen: InKitchen, evening: Clock) -> None:
    key = begun(kitchen)
    evening.now = at(20)
    for height in ("45", "50"):
        says(kitchen, key, first="30", height=height)
        evening.now += 600
    assert len(taught(app, kitchen, evening.now).lessons) == 2
    assert kitchen.posts(f"{PAGE}/{key}/readings/{at(20)}/drop", page=PAGE).status_code == 303
    (left,) = taught(app, kitchen, evening.now).lessons
    assert left.at == at(20, 10)
    assert kitchen.posts(f"{PAGE}/{key}/drop", page=PAGE).status_code == 303
    assert taught(app, kitchen, evening.now).lessons == ()
    assert kitchen.posts(f"{PAGE}/{key}/drop", page=PAGE).status_code == 404


def test_after_a_day_a_glass_is_not_read_any_more(kitchen: InKitchen, evening: Clock) -> None:
    key = begun(kitchen)
    evening.now += 86400 + 60
    page = kitchen.get(PAGE).text
    assert "Since" in page
    assert "Write it down" not in page
    assert says(kitchen, key, first="30", height="60")[0] == 422


def test_nobody_reads_another_kitchens_glass(phone: Callable[[], InKitchen], evening: Clock) -> None:
    mine, theirs = phone(), phone()
    key = begun(theirs)
    evening.now = at(20)
    mine.get("/")
    assert says(mine, key, first="30", height="60")[0] == 404
    assert mine.posts(f"{PAGE}/{key}/drop", page=PAGE).status_code == 404
    assert key not in mine.get(PAGE).text


def test_a_glass_is_taken_along_to_another_kitchen(app: Flask, phone: Callable[[], InKitchen], evening: Clock) -> None:
    here, mine, other = app.extensions["suppertide"], phone(), phone()
    key = begun(mine)
    evening.now = at(21)
    says(mine, key, first="30", height="66")
    other.get("/")
    take_along.everything(here.store, at(22), mine.kitchen_id(), file := io.StringIO())
    take_along.bring_in(here.store, at(22), here.new_id, other.kitchen_id(), json.loads(file.getvalue()))
    assert use.glasses(here.store, other.kitchen_id()) == use.glasses(here.store, mine.kitchen_id())
    assert taught(app, other, at(22)).lessons == taught(app, mine, at(22)).lessons != ()


def test_a_newcomer_is_told_of_it_where_a_first_plan_is_made_and_nobody_else(
    kitchen: InKitchen, evening: Clock
) -> None:
    assert PAGE in kitchen.get("/").text
    assert PAGE in kitchen.get("/week").text
    bake_id = kitchen.plans()
    assert PAGE in kitchen.get(f"/bakes/{bake_id}").text
    key = begun(kitchen)
    evening.now = at(21)
    says(kitchen, key, first="30", height="60")
    assert PAGE not in kitchen.get("/week").text
    assert PAGE not in kitchen.get(f"/bakes/{bake_id}").text


def test_a_kitchen_in_ounces_and_fahrenheit_is_spoken_to_in_them(
    app: Flask, kitchen: InKitchen, evening: Clock
) -> None:
    def imperial(old: Kitchen) -> Kitchen:
        return replace(old, mass_unit="oz", heat_unit="F", scale_step_g=28.349523125 / 20, micro_step_g=0.01)

    change_kitchen(app.extensions["suppertide"].store, kitchen.kitchen_id(), imperial)
    page = kitchen.get(PAGE).text.replace("\u00a0", " ")
    assert "oz of flour" in page
    assert "g on the fine scale" in page
    begun(kitchen, room="70")
    ((_, glass),) = use.glasses(app.extensions["suppertide"].store, kitchen.kitchen_id())
    assert glass.room[0].temp_c == pytest.approx(21.1, abs=0.1)


def test_the_form_needs_its_token(kitchen: InKitchen) -> None:
    kitchen.get("/")
    assert kitchen.client.post(PAGE, data={}, headers=SAME).status_code in (400, 403)


def test_a_mistake_in_a_page_that_was_left_open_while_another_glass_was_begun_is_said_with_what_was_typed(
    kitchen: InKitchen, evening: Clock
) -> None:
    first = begun(kitchen)
    evening.now += 1800
    begun(kitchen)
    status, page = says(kitchen, first, first="50", height="sixty")
    assert status == 422
    assert 'value="sixty"' in page
    assert 'id="mistakes"' in page


def test_of_a_glass_that_was_thrown_away_on_another_phone_nothing_is_said_to_be_mistyped(
    kitchen: InKitchen, evening: Clock
) -> None:
    key = begun(kitchen)
    assert kitchen.posts(f"{PAGE}/{key}/drop", page=PAGE).status_code == 303
    assert says(kitchen, key, first="50", height="sixty")[0] == 404
