"""A room temperature noted during a bake is offered as today's at the next plan."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from flask import Flask

from tests.web.conftest import Clock, InKitchen
from webapp.core.kitchen import Kitchen
from webapp.core.plan.rise import RoomSpan
from webapp.kitchens import bakes, room_read
from webapp.words.plan.rise import still_so

DAY = 86400
EVENING = int(datetime(2026, 11, 25, 18, tzinfo=UTC).timestamp())  # a Wednesday


def line(bake_id: str, kind: str, number: int, at: int, **data: object) -> dict[str, object]:
    return {
        "event_id": f"{number:032x}",
        "bake_id": bake_id,
        "at": at,
        "logged_at": at,
        "phone": "p",
        "kind": kind,
        "data": data,
    }


def read(kitchen: InKitchen, clock: Clock, temp_c: float, at: int = EVENING) -> str:
    bake_id = kitchen.has_a_bake()
    clock.now = max(clock.now, at)
    answer = kitchen.sends(bake_id, line(bake_id, "room", 1, at, temp_c=temp_c))
    assert answer.status_code == 200, answer.text
    return bake_id


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (EVENING + 3600, "26 °C this evening: still so"),
        (EVENING + DAY, "26 °C yesterday evening: still so"),
        (EVENING + 5 * DAY, "26 °C last Wednesday evening: still so"),
        (EVENING + 8 * DAY, "26 °C on Wednesday 25 November: still so"),
    ],
)
def test_what_was_read_is_offered_with_its_day(kitchen: InKitchen, clock: Clock, now: int, words: str) -> None:
    read(kitchen, clock, 26.0)
    clock.now = now
    assert words in kitchen.get("/plan").text.replace("\u00a0", " ")


def test_a_tick_makes_it_today_s_and_keeps_everything_else(app: Flask, kitchen: InKitchen, clock: Clock) -> None:
    read(kitchen, clock, 26.0)
    clock.now = EVENING + DAY
    bake_id = kitchen.plans({"room_still": "y", "supper": "2026-11-28T19:30", "pan-oven-tray": "2"})
    asked = bakes.bake(app.extensions["suppertide"].store, kitchen.kitchen_id(), bake_id).wish
    assert (asked.room_c, asked.room_min, asked.pans[0].count) == (26.0, 18 * 60, 2)


def test_what_is_typed_goes_before_the_tick_and_no_tick_is_as_usual(
    app: Flask, kitchen: InKitchen, clock: Clock
) -> None:
    read(kitchen, clock, 26.0)
    clock.now = EVENING + DAY
    store = app.extensions["suppertide"].store
    typed = kitchen.plans({"room_still": "y", "room": "23", "supper": "2026-11-28T19:30"})
    assert bakes.bake(store, kitchen.kitchen_id(), typed).wish.room_c == 23.0
    usual = kitchen.plans({"supper": "2026-11-28T19:30"})
    assert bakes.bake(store, kitchen.kitchen_id(), usual).wish.room_c is None


@pytest.mark.parametrize(("temp_c", "days"), [(21.5, 1), (26.0, 11)])
def test_what_is_as_usual_or_long_ago_is_not_offered(
    kitchen: InKitchen, clock: Clock, temp_c: float, days: int
) -> None:
    read(kitchen, clock, temp_c)  # usually 21 C from five in the afternoon on
    clock.now = EVENING + days * DAY
    assert "still so" not in kitchen.get("/plan").text


def test_what_was_taken_back_is_not_offered(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = read(kitchen, clock, 26.0)
    kitchen.sends(bake_id, line(bake_id, "undo", 2, EVENING + 60, event_id=f"{1:032x}"))
    clock.now = EVENING + DAY
    assert "still so" not in kitchen.get("/plan").text


def test_the_last_of_several_readings_is_offered(app: Flask, kitchen: InKitchen, clock: Clock) -> None:
    bake_id = read(kitchen, clock, 26.0)
    kitchen.sends(bake_id, line(bake_id, "room", 2, EVENING + 3600, temp_c=24.0))
    found = room_read.room_read(app.extensions["suppertide"].store, EVENING + DAY, kitchen.kitchen_id())
    assert found == RoomSpan(EVENING + 3600, 24.0)


def test_a_tick_without_a_reading_is_as_usual(app: Flask, kitchen: InKitchen) -> None:
    bake_id = kitchen.plans({"room_still": "y"})
    assert bakes.bake(app.extensions["suppertide"].store, kitchen.kitchen_id(), bake_id).wish.room_c is None


@pytest.mark.parametrize(("hour", "part"), [(7, "morning"), (13, "afternoon"), (22, "evening")])
def test_the_part_of_the_day_is_said_in_the_kitchen_s_own_degrees(hour: int, part: str) -> None:
    at = int(datetime(2026, 11, 25, hour, tzinfo=UTC).timestamp())
    # 25 C is 77 F exactly
    assert still_so(RoomSpan(at, 25.0), Kitchen(heat_unit="F"), at + 60) == f"77 °F this {part}: still so"


def test_the_home_page_plans_with_it_says_whose_day_it_is_from_and_asks_whether_it_is_still_so(
    app: Flask, kitchen: InKitchen, clock: Clock
) -> None:
    read(kitchen, clock, 26.0)
    clock.now = EVENING + DAY
    told = kitchen.get("/").text.replace("\u00a0", " ")
    # 26 in the evening, where 21 is usual, is five more; nights of 18 are 23 then.
    assert "kitchen 23–26 °C as yesterday evening" in told
    asked = kitchen.get("/change/warm").text.replace("\u00a0", " ")
    assert "At 18:00" in asked, "the hour of the figure that stands there"
    assert "26 °C yesterday evening: still so? Another figure is for now." in asked
    usual = kitchen.get("/?room=").text.replace("\u00a0", " ")
    assert "kitchen 18–21 °C" in usual


def test_with_nothing_read_nothing_is_asked_about(kitchen: InKitchen) -> None:
    kitchen.has_a_bake()
    assert "still so" not in kitchen.get("/change/warm").text
