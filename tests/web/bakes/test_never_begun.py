"""In the book a bake that was eaten, one that was given up and one that was never begun are told apart."""

from __future__ import annotations

import re

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.doughs.test_allergens import page_text
from webapp.kitchens import bakes
from webapp.machine.settings import Settings
from webapp.web.app import create_app


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def test_a_bake_that_was_never_begun_says_so_and_shows_no_day_that_never_was(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    clock.now = at(23)
    assert "never begun" in page_text(kitchen.get("/book").text)
    page = kitchen.get(f"/book/{bake_id}").text
    assert "never begun" in page_text(page)
    assert "How the day went" not in page
    assert "beside" not in page_text(page)
    assert "It was baked after all?" in page_text(page)


def test_its_page_says_so_too_and_shows_the_day_as_it_was_planned(kitchen: InKitchen, clock: Clock) -> None:
    """Supper was at 19:30: from then on nothing of it is due, and mixing stands at 07:15 again."""
    bake_id = kitchen.has_a_bake()
    clock.now = at(19)
    assert "Due now" in kitchen.get(f"/bakes/{bake_id}").text
    for hour, day in ((20, ""), (22, ""), (31, "yesterday ")):
        clock.now = at(hour)
        page = page_text(kitchen.get(f"/bakes/{bake_id}").text)
        assert f"This bake was for {day}19:30. Nobody began it" in page
        assert "Due now" not in page
        assert "later, at" not in page
        assert "07:15 Mix the dough" in page


def test_home_page_and_book_say_the_same_of_it_at_every_hour(kitchen: InKitchen, clock: Clock) -> None:
    """Nobody mixed it: until its supper it is asked about with no supper that moves by the minute, after that it is
    nowhere but in the book."""
    bake_id = kitchen.has_a_bake()
    clock.now = at(7, 30)
    assert "now: Mix the dough; supper" in page_text(kitchen.get("/").text)
    for minutes in range(8 * 60 + 30, 19 * 60 + 30, 55):
        clock.now = at(0, minutes)
        home = page_text(kitchen.get("/").text)
        assert "Was it mixed at 07:15?" in home
        assert "never begun" not in page_text(kitchen.get("/book").text)
        assert bake_id not in kitchen.get("/book").text
    for minutes in range(19 * 60 + 31, 40 * 60, 95):
        clock.now = at(0, minutes)
        assert bake_id not in kitchen.get("/").text
        assert "never begun" in page_text(kitchen.get("/book").text)
        assert "19:30" in page_text(kitchen.get(f"/book/{bake_id}").text)


def test_one_that_is_still_to_come_is_not_called_so(kitchen: InKitchen) -> None:
    assert "never begun" not in kitchen.get(f"/book/{kitchen.has_a_bake()}").text


def test_the_book_goes_by_the_clock_of_each_bake_whatever_the_kitchen_goes_by_since(
    kitchen: InKitchen, clock: Clock
) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    kitchen.posts("/settings/zone", {"zone": "America/Chicago", "keep": "1"})
    both = "by the clock of Europe/Lisbon; by that of America/Chicago supper is at 13:30."
    assert both in page_text(kitchen.get("/").text)
    clock.now = at(21)
    for place in ("/book", f"/book/{bake_id}"):
        page = page_text(kitchen.get(place).text)
        assert "19:30" in page
        assert both in page, "its own clock first, then whose it is and what the kitchen's shows"
        assert "13:30" not in page.replace(both, "")


def test_one_that_was_mixed_is_none_of_those(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(23)
    assert "never begun" not in kitchen.get("/book").text
    assert "How the day went" in kitchen.get(f"/book/{bake_id}").text


def test_what_was_baked_without_the_kitchen_screen_can_still_be_told(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    clock.now = at(23)
    assert kitchen.posts(f"/book/{bake_id}", {"verdict": "right"}).status_code == 303
    assert "never begun" not in kitchen.get("/book").text
    assert "How the day went" in kitchen.get(f"/book/{bake_id}").text


def test_given_up_stays_given_up_whether_it_was_begun_or_not(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    kitchen.posts(f"/bakes/{bake_id}/drop")
    clock.now = at(23)
    shown = page_text(kitchen.get("/book").text)
    assert "given up" in shown
    assert "never begun" not in shown
    assert "How the day went" not in kitchen.get(f"/book/{bake_id}").text


def test_the_book_goes_by_the_supper_that_was_agreed_last(kitchen: InKitchen, clock: Clock) -> None:
    """Planned for 19:30, put off twice, to 20:45 and to 22:00: what is read is when supper was wanted last."""
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    for n, hour in enumerate((at(20, 45), at(22))):
        moved = event(bake_id, "supper", instant=hour) | {"at": clock.now + n, "logged_at": clock.now + n}
        kitchen.sends(bake_id, moved)
    clock.now = at(21)
    assert bake_id not in kitchen.get("/book").text, "it is still to be eaten"
    clock.now = at(22, 30)
    for page in ("/book", f"/book/{bake_id}", f"/bakes/{bake_id}/outcome"):
        text = page_text(kitchen.get(page).text)
        assert "22:00" in text, page
        assert "19:30" not in text, page


def test_of_a_bake_that_was_given_up_nothing_is_told_that_came_after(kitchen: InKitchen, clock: Clock) -> None:
    """Mixed at 07:30 and given up at noon: it was never pressed out, nor in the oven."""
    bake_id = kitchen.has_a_bake()
    kitchen.sends(bake_id, event(bake_id))
    clock.now = at(12)
    kitchen.posts(f"/bakes/{bake_id}/drop")
    for hour in (12, 23, 24 * 9):
        clock.now = at(hour)
        listed = page_text(kitchen.get("/book").text)
        assert "19:30, given up" in listed
        assert "Say how it came out" not in listed
        day = page_text(kitchen.get(f"/book/{bake_id}").text)
        assert "How the day went" in day
        assert "Mix the dough" in day
        for never in ("Press", "Into the oven", "Out of the oven", "Cut and eat"):
            assert never not in day, (hour, never)


def test_beside_another_bake_it_says_nothing_of_a_rise_and_an_oven_that_never_were(
    kitchen: InKitchen, clock: Clock
) -> None:
    eaten, given_up = kitchen.has_a_bake(), kitchen.has_a_bake()
    for bake_id in (eaten, given_up):
        kitchen.sends(bake_id, event(bake_id))
    clock.now = at(12)
    kitchen.posts(f"/bakes/{given_up}/drop")
    clock.now = at(23)
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", kitchen.get(f"/book/{given_up}/beside?with={eaten}").text, re.DOTALL)
    cells = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL) for row in rows]
    told = {page_text(row[0]).removesuffix(" (differs)"): row[1:] for row in cells if len(row) == 3}
    for what in ("Risen at pressing", "Risen at loading", "In the oven", "Dial"):
        assert told[what][0] == "–", what
        assert told[what][1] != "–", what


def test_what_is_eaten_is_given_up_no_more(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    steps = bakes.picked(kitchen.store, kitchen.kitchen_id(), bake_id).steps
    for step in steps:
        kitchen.sends(bake_id, event(bake_id, step_id=step.step_id) | {"at": step.end, "logged_at": step.end})
    clock.now = at(24 * 7)
    assert f"/bakes/{bake_id}/drop" not in kitchen.get(f"/bakes/{bake_id}").text
    assert kitchen.posts(f"/bakes/{bake_id}/drop").status_code == 303
    assert "19:30, given up" not in page_text(kitchen.get("/book").text)


def test_nothing_is_said_to_lie_out_of_the_fridge_of_a_bake_that_nobody_began_or_that_was_given_up(
    real: InKitchen, clock: Clock
) -> None:
    """Cheese that nobody took out is in the fridge; of what was given up no hours are counted any more."""
    over = "over the limit"
    bake_id = real.plans({"toppings_key": "tomato-cheese"})
    real.picks(bake_id)
    plan = bakes.picked(real.store, real.kitchen_id(), bake_id)
    assert any(one.perishable for one in plan.toppings)
    clock.now = at(19, 31) + 14 * 3600
    assert over not in page_text(real.get(f"/bakes/{bake_id}").text)
    done = [
        event(bake_id, step_id=one.step_id) | {"at": one.end, "logged_at": one.end, "revision": plan.revision}
        for one in plan.steps if one.kind in ("mix", "press", "cheese-out")
    ]  # fmt: skip
    assert real.sends(bake_id, *done).status_code == 200
    assert over in page_text(real.get(f"/bakes/{bake_id}").text), "it was begun, and the cheese is out since then"
    real.posts(f"/bakes/{bake_id}/drop")
    assert over not in page_text(real.get(f"/bakes/{bake_id}").text)
