"""By when to be home: one time, said the same on the home page, on the bake's page, in the kitchen and in calendars."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.seen import fields_of, words
from webapp.core.plan.plan import Plan
from webapp.core.plan.steps import PlanStep
from webapp.kitchens import bakes

HOME = at(17, 45)  # the newcomer's day away ends
WAYS = pytest.mark.parametrize("way", ["cold", "bench-day"])


def taken(phone: InKitchen, way: str = "bench-day") -> tuple[str, str]:
    """The first day that is shown of that way, taken: the bake's id, and by when to be home as the page said."""
    page = phone.get(f"/?method_key={way}").text
    said = re.search(r"home by (\d\d:\d\d) at the latest", words(page))
    form = re.search(r'<form class="take".*?</form>', page, re.DOTALL)
    assert said
    assert form
    answer = phone.posts("/take", fields_of(form[0]))
    return str(answer.headers["Location"]).rsplit("/", 1)[1], said[1]


def on_the_go(phone: InKitchen) -> str:
    found = re.search(r'<ul class="going".*?</ul>', phone.get("/").text, re.DOTALL)
    assert found
    return words(found[0])


def carried(phone: InKitchen, bake_id: str) -> dict[str, str | int] | None:
    answer = phone.get(f"/api/bakes/{bake_id}/bundle").json
    assert answer is not None
    found: dict[str, str | int] | None = answer["home_by"]
    return found


def events_of(phone: InKitchen, bake_id: str) -> str:
    return phone.get(f"/bakes/{bake_id}/bake.ics").text.replace("\r\n ", "")


def tells(phone: InKitchen, clock: Clock, bake_id: str, when: int, kind: str = "done", **data: object) -> None:
    clock.now = max(clock.now, when)
    line = event(bake_id, kind, **data) | {"at": when, "logged_at": when}
    assert phone.sends(bake_id, line).status_code == 200


def before_home(plan: Plan) -> list[PlanStep]:
    """What is done with the dough before the hours away, optional folds aside."""
    return [one for one in plan.steps if one.chain and one.start < HOME and one.kind != "fold"]


def met_at_home(plan: Plan) -> PlanStep:
    """The first thing that is done with the dough after coming home."""
    return next(one for one in plan.steps if one.chain and one.start >= HOME)


@WAYS
def test_one_latest_is_said_on_every_page_in_the_kitchen_and_in_the_calendar(
    real: InKitchen, clock: Clock, way: str
) -> None:
    bake_id, by = taken(real, way)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    met = met_at_home(plan)
    planned = f"{datetime.fromtimestamp(met.start, UTC):%H:%M}"  # London keeps UTC in November
    assert by > planned, "an ordinary day leaves room to be late"
    told = f"home by {by} at the latest"
    assert told in words(real.get(f"/bakes/{bake_id}").text)
    called = {"press": "press out into the pan", "temper": "dough out of the fridge"}[met.kind]
    assert f"SUMMARY:Home by {by} at the latest: {called} (planned {planned})" in events_of(real, bake_id)
    assert "waits for you from" not in events_of(real, bake_id), "the dough waits from another time"
    for step in before_home(plan):
        tells(real, clock, bake_id, step.end, step_id=step.step_id)
    assert f"{planned}: {called.capitalize()} ({told}); supper 19:30" in on_the_go(real)
    home = carried(real, bake_id)
    said = {"step_id": met.step_id, "start": met.start, "supper": plan.supper, "words": told}
    assert home == said | {"until": at(*map(int, by.split(":")))}


@WAYS
def test_the_dough_waits_until_then_and_no_page_names_another_end(real: InKitchen, way: str) -> None:
    """In the picture of home, in that of the bake and below it, and on paper."""
    home = real.get(f"/?method_key={way}").text
    bake_id, by = taken(real, way)
    page = real.get(f"/bakes/{bake_id}").text
    paper = real.get(f"/bakes/{bake_id}/print").text
    for text in (home, page, paper):
        assert re.search(rf"waits for you \d\d:\d\d–{by}", text), way
    caption = re.search(r"<figcaption>.*?<table>", page, re.DOTALL)
    assert caption
    said = words(caption[0])
    assert re.search(rf"Come (between \d\d:\d\d and|by) {by}: supper stays at 19:30\.", said)
    assert ", best " not in said
    assert said.split(" As a table")[0].strip() in words(paper)
    if way == "bench-day":
        planned, late = re.search(
            rf"From \d\d:\d\d it proofs (.*?) in the pan, from {by} only (\d+ min)\.", said
        ).groups()  # type: ignore[union-attr]
        assert planned > late


@WAYS
def test_once_it_is_taken_up_or_too_late_nobody_is_called_home(real: InKitchen, clock: Clock, way: str) -> None:
    bake_id, _ = taken(real, way)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    met = met_at_home(plan)
    for step in before_home(plan):
        tells(real, clock, bake_id, step.end, step_id=step.step_id)
    clock.now = met.start + 3600
    assert carried(real, bake_id) is None
    clock.now = met.start
    assert carried(real, bake_id) is not None
    tells(real, clock, bake_id, met.start + 60, step_id=met.step_id)
    assert carried(real, bake_id) is None
    assert "at the latest" not in on_the_go(real)
    assert "at the latest" not in words(real.get(f"/bakes/{bake_id}").text)


def test_a_supper_that_was_moved_moves_the_latest_with_it(real: InKitchen, clock: Clock) -> None:
    """An hour later: the oven is lit an hour later too, and that, not the dough, is what the latest hangs on."""
    bake_id, by = taken(real)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    tells(real, clock, bake_id, plan.steps[0].end)
    before = carried(real, bake_id)
    tells(real, clock, bake_id, plan.steps[0].end + 60, "supper", instant=plan.supper + 3600)
    after = carried(real, bake_id)
    assert before is not None
    assert after is not None
    assert str(after["words"]) > str(before["words"]) == f"home by {by} at the latest"
    assert after["supper"] == at(20, 30)


def test_ways_are_compared_by_when_to_be_home_or_to_go_on_and_by_a_spoon_where_that_is_the_dose(
    real: InKitchen,
) -> None:
    at_work = real.get("/?supper=2026-11-25T19:30").text
    assert 'data-label="home by"' in at_work
    at_home = real.get("/?supper=2026-11-25T19:30&hours=home").text
    assert 'data-label="be there by"' in at_home
    assert 'data-label="home by"' not in at_home, "who is there all day comes home to nothing"
    plan = bakes.picked(real.store, real.kitchen_id(), taken(real)[0])
    dose = next(line.dosing for line in plan.lines if line.dosing)
    told = r"[\d.]+ g \(1/4 tsp\)" if dose.kind == "spoon" else f"{dose.yeast_g:g} g"
    assert re.search(rf'data-label="yeast">\s*{told}', at_work.replace("\u00a0", " "))
