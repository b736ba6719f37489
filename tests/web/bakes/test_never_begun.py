"""In the book a bake that was eaten, one that was given up and one that was never begun are told apart."""

from __future__ import annotations

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from tests.web.doughs.test_allergens import page_text


def test_a_bake_that_was_never_begun_says_so_and_shows_no_day_that_never_was(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    clock.now = at(23)
    assert "never begun" in page_text(kitchen.get("/book").text)
    page = kitchen.get(f"/book/{bake_id}").text
    assert "never begun" in page_text(page)
    assert "How the day went" not in page
    assert "beside" not in page_text(page)
    assert "It was baked after all?" in page_text(page)


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
