"""The kitchen's warmth is asked for this hour, counts at the hour at which it was read, and is shown as a whole day.

A new kitchen is usually at 18 C from midnight, 20 from seven and 21 from five in the afternoon (`core/kitchen.py`).
"""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest

from tests.planning.test_what_if import WISH
from tests.samples import at
from tests.web.conftest import Clock, InKitchen
from tests.web.plan.test_home import links, plan_of, takes, words
from tests.web.seen import fields_of
from webapp.core.kitchen import Kitchen, PartOfDay
from webapp.forms.wish import room_at, room_min_of
from webapp.kitchens import bakes
from webapp.planning.question import warmed
from webapp.web.plan.questions import ONE_BY_ONE

TOMORROW = "2026-11-26T19:30"


@pytest.mark.parametrize(
    ("hour", "said"),
    [
        (5, "kitchen 21–24 °C"),  # 18 is usual then: three more all day
        (12, "kitchen 19–22 °C"),  # 20: one more
        (20, "kitchen 18–21 °C"),  # 21: as usual
    ],
)
def test_what_is_typed_is_the_warmth_of_this_hour_and_the_day_that_follows_is_shown(
    real: InKitchen, clock: Clock, hour: int, said: str
) -> None:
    clock.now = at(hour)
    assert f"The kitchen now, at {hour:02d}:00" in words(real.get("/change/warm?supper=2026-11-25T23:30").text), (
        "of a supper today"
    )
    page = words(real.get(f"/?supper={TOMORROW}&room=21").text)
    assert f"{said} that day" in page


def test_for_another_day_it_is_asked_how_warm_it_will_be_at_supper(real: InKitchen, clock: Clock) -> None:
    """Nobody knows on Wednesday morning how warm Thursday evening's kitchen is now: 21 is usual then."""
    clock.now = at(5)
    form = real.get(f"/change/warm?supper={TOMORROW}")
    assert "Tomorrow, at 19:30" in words(form.text)
    assert "now, at" not in words(form.text)
    assert fields_of(form.text)["room_for"] == "19:30"
    page = real.get(f"/?supper={TOMORROW}&room=24&room_for=19:30")
    assert "kitchen 21–24 °C that day" in words(page.text), "three more than usual at that hour, all day"
    again = next(where for where in links(page.text, "data-ask").values() if "/change/warm" in where)
    assert "Tomorrow, at 19:30" in words(real.get(again).text), "it is asked for the same hour again"
    wrong = real.get(f"/?supper={TOMORROW}&room=warm&room_for=19:30")
    assert wrong.status_code == 422
    assert "Tomorrow, at 19:30" in words(wrong.text), "and where the figure is none"


def test_it_is_today_s_when_supper_is_today(real: InKitchen) -> None:
    assert "kitchen 21–24 °C today" in words(real.get("/?room=21").text)


def test_a_reading_counts_at_its_own_hour_whenever_it_is_looked_at_again(real: InKitchen, clock: Clock) -> None:
    clock.now = at(5)
    where = next(one for one in links(real.get(f"/?supper={TOMORROW}&room=21").text, "data-ask").values())
    kept = "/?" + where.split("?", 1)[1]
    early = words(real.get(kept).text)
    clock.now = at(20)
    late = real.get(kept)
    assert "kitchen 21–24 °C that day" in early
    assert "kitchen 21–24 °C that day" in words(late.text)
    plan = plan_of(real, takes(real, late.text))
    assert {span.temp_c for span in plan.rise.room} <= {21.0, 23.0, 24.0}
    wish = bakes.bake(real.store, real.kitchen_id(), plan.bake_id).wish
    assert (wish.room_c, wish.room_min) == (21.0, 5 * 60)


def test_the_question_says_of_which_hour_the_figure_in_it_is_and_another_one_is_for_now(
    real: InKitchen, clock: Clock
) -> None:
    clock.now = at(20)
    asked = html.unescape(real.get("/change/warm?supper=2026-11-25T23:30&room=21&room_at=21+05:00").text)
    assert "At 05:00" in asked
    assert "Another figure is for now." in asked
    assert 'value="21 05:00"' in asked
    new = words(real.get(f"/?supper={TOMORROW}&room=22&room_at=21+05:00").text)
    assert "kitchen 19–22 °C" in new, "22 at eight in the evening, where 21 is usual, is one more"


@pytest.mark.parametrize(
    ("typed", "minute"),
    [
        ({"room": "21", "room_at": "21 05:10"}, 310),
        ({"room": " 21 ", "room_at": "21 05:10"}, 310),
        ({"room": "22", "room_at": "21 05:10"}, None),
        ({"room": "", "room_at": " 05:10"}, None),
        ({"room": "21", "room_at": "21 25:10"}, None),
        ({"room": "21", "room_at": "21"}, None),
        ({"room": "21"}, None),
    ],
)
def test_an_hour_belongs_to_the_very_figure_that_was_read_then(typed: dict[str, str], minute: int | None) -> None:
    assert room_min_of(typed) == minute
    assert room_at("", 310) == ""


def test_a_day_is_as_much_warmer_all_through_as_one_hour_of_it_is() -> None:
    kitchen = replace(Kitchen(), room=(PartOfDay(420, 20.0), PartOfDay(1020, 22.0)))
    read = replace(WISH, room_c=23.5, room_min=300)  # at five it is still the evening's 22: a degree and a half more
    assert [part.temp_c for part in warmed(kitchen, read, at(20)).room] == [21.5, 23.5]
    assert warmed(kitchen, replace(WISH, room_c=None), at(20)) == kitchen


def test_another_question_carries_the_hour_along(real: InKitchen) -> None:
    assert "room_at" in ONE_BY_ONE["warm"]
    assert 'name="room_at" value="21 05:00"' in real.get("/change/pan?room=21&room_at=21+05:00").text


def test_sent_again_a_minute_later_it_is_the_same_bake() -> None:
    one, other = (bakes.asked_once("k", "once", replace(WISH, room_c=21.0, room_min=minute)) for minute in (310, 311))
    assert one == other


def test_a_warm_kitchen_says_in_a_line_what_it_did_to_the_day(real: InKitchen, clock: Clock) -> None:
    """From practice: at 27 C and up a dough left out all day is long past by evening, so it waits in the fridge."""
    assert "than usual" not in words(real.get("/").text)
    hot = words(real.get("/?room=27").text)
    assert "mix, fridge" in hot
    assert "Same day on the bench" not in hot, "it is not even offered"
    clock.now = at(6, 50) + 3 * 86400  # a Saturday, somebody is home all day: of another dough
    assert re.search("Warmer than usual: “[^”]+” suits it better than", words(real.get("/?room=27").text))
    clock.now = at(6, 50)
    little = words(real.get("/?room=21&method_key=bench-day").text)
    assert re.search(r"Warmer than usual: about \d\d % less yeast\.", little), "as in every table of yeast by warmth"


def test_another_way_is_held_against_itself(real: InKitchen) -> None:
    page = real.get("/?room=21").text
    ways = re.findall(r'href="([^"]*way=[^"]*)"', html.unescape(page))
    told = [words(real.get(address).text) for address in ways]
    assert len(told) > 1
    assert all("than usual" in one and "suits it better" not in one for one in told)


def test_warmth_as_usual_changes_nothing_and_says_nothing(real: InKitchen) -> None:
    assert "than usual" not in words(real.get("/?room=18").text), "at ten to seven it is still the night's 18"
