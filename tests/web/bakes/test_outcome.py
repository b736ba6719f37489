"""Why a bake came out as it did, and the one change that goes into the next plan."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from flask import Flask

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event
from webapp.core.plan.plan import Habit
from webapp.kitchens.bakes import kitchen_of
from webapp.words.learned import likely_words


@pytest.fixture
def bake(kitchen: InKitchen, clock: Clock) -> str:
    """A bake whose oven was lit 25 min before loading instead of 45, the base of which stayed pale."""
    bake_id = kitchen.has_a_bake()
    clock.now = at(21)
    times = {"mix": at(7, 30), "press": at(16, 55), "preheat": at(18, 31), "top": at(18, 53), "load": at(18, 56),
             "turn-down": at(18, 57), "check": at(19, 12), "lift": at(19, 16)}  # fmt: skip
    lines = [event(bake_id, "done", step_id=step) | {"at": when, "logged_at": when} for step, when in times.items()]
    assert kitchen.sends(bake_id, *lines).status_code == 200
    return bake_id


def _ticks(kitchen: InKitchen, bake_id: str, *signs: str) -> None:
    page = f"/book/{bake_id}"
    assert kitchen.posts(page, dict.fromkeys(signs, "y"), page=page).status_code == 303


def _habits(kitchen: InKitchen) -> tuple[Habit, ...]:
    return kitchen_of(kitchen.store, kitchen.kitchen_id()).habits


def test_a_pale_base_of_an_oven_lit_late_is_put_down_to_the_oven_with_the_numbers(
    kitchen: InKitchen, bake: str
) -> None:
    _ticks(kitchen, bake, "pale-base")
    page = kitchen.get(f"/bakes/{bake}/outcome").text
    first = page.split('class="cause"')[1]
    assert "was not hot through" in first
    assert "Most likely" in first
    assert "min less than planned" in first
    assert "Heat the oven 10 minutes longer." in page


def test_the_suggestion_is_taken_into_the_next_plan_once(app: Flask, kitchen: InKitchen, bake: str) -> None:
    _ticks(kitchen, bake, "pale-base")
    page = f"/bakes/{bake}/outcome"
    for _ in range(2):
        assert kitchen.posts(f"{page}/accept", page=page if not _habits(kitchen) else "/").status_code == 303
    (habit,) = _habits(kitchen)
    assert (habit.field, habit.value, habit.bake_id) == ("preheat_min", 10.0, bake)
    assert "in every plan from now on" in kitchen.get(page).text
    assert "Take it into" not in kitchen.get(page).text
    assert "Heat the oven 10 minutes longer. (now +10 min)" in kitchen.get("/settings/oven").text


def test_nothing_ticked_asks_to_tick_and_has_nothing_to_accept(app: Flask, kitchen: InKitchen, bake: str) -> None:
    assert "Nothing is ticked yet" in kitchen.get(f"/bakes/{bake}/outcome").text
    answer = kitchen.posts(f"/bakes/{bake}/outcome/accept")
    assert answer.status_code == 303
    assert "Tick what came out wrong first" in kitchen.get(f"/bakes/{bake}/outcome").text
    assert _habits(kitchen) == ()


def test_a_bake_that_was_good_has_no_causes(kitchen: InKitchen, bake: str) -> None:
    _ticks(kitchen, bake, "base-good", "top-good")
    assert "Nothing came out wrong" in kitchen.get(f"/bakes/{bake}/outcome").text


def test_the_book_leads_to_the_reasons(kitchen: InKitchen, bake: str) -> None:
    _ticks(kitchen, bake, "stuck")
    assert f"/bakes/{bake}/outcome" in kitchen.get(f"/book/{bake}").text


def test_the_bakes_of_another_kitchen_are_as_unknown_as_none(phone: Callable[[], InKitchen], bake: str) -> None:
    other = phone()
    other.get("/")
    for bake_id in (bake, "no-such-bake"):
        assert other.get(f"/bakes/{bake_id}/outcome").status_code == 404
        assert other.posts(f"/bakes/{bake_id}/outcome/accept").status_code == 404


@pytest.mark.parametrize(("share", "words"), [(0.6, "most likely"), (0.2, "possible"), (0.05, "less likely")])
def test_shares_are_said_in_words(share: float, words: str) -> None:
    assert likely_words(share) == words


def test_a_bake_s_page_warns_of_cheese_that_is_out_too_long(kitchen: InKitchen, clock: Clock) -> None:
    bake_id = kitchen.has_a_bake()
    done = {"mix": at(7, 30), "press": at(16, 55), "preheat": at(18, 10), "top": at(18, 53)}
    kitchen.sends(bake_id, *(event(bake_id, step_id=s) | {"at": when, "logged_at": when} for s, when in done.items()))
    clock.now = at(19)
    assert "Throw it away" not in kitchen.get(f"/bakes/{bake_id}").text
    clock.now = at(21, 30)
    page = kitchen.get(f"/bakes/{bake_id}").text
    assert "is over the limit of 2 hours. Throw it away" in page
