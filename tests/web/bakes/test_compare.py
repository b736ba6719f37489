"""The page with two bakes of the book side by side."""

from __future__ import annotations

import re
from collections.abc import Callable

from tests.samples import at
from tests.web.conftest import Clock, InKitchen, event


def baked_twice(kitchen: InKitchen, clock: Clock) -> tuple[str, str]:
    first, second = kitchen.has_a_bake(), kitchen.has_a_bake()
    for one in (first, second):
        kitchen.sends(one, event(one))
    clock.now = at(21)
    return first, second


def test_two_bakes_lie_side_by_side(kitchen: InKitchen, clock: Clock) -> None:
    first, second = baked_twice(kitchen, clock)
    text = kitchen.get(f"/book/{first}/beside?with={second}").text
    assert text.count('class="tide tide--small"') == 2
    assert "From mixing to pressing" in text
    assert f'<option value="{second}" selected>' in text


def test_two_bakes_of_one_evening_have_columns_of_two_names(kitchen: InKitchen, clock: Clock) -> None:
    first, second = baked_twice(kitchen, clock)
    heads = re.findall(r'<th scope="col">([^<]+)</th>', kitchen.get(f"/book/{first}/beside?with={second}").text)
    assert heads[0] == "What"
    assert heads[1] != heads[2]


def test_without_a_choice_the_last_of_the_same_dough_is_taken(kitchen: InKitchen, clock: Clock) -> None:
    first, second = baked_twice(kitchen, clock)
    assert f'<option value="{second}" selected>' in kitchen.get(f"/book/{first}/beside").text


def test_one_bake_alone_says_what_is_missing(kitchen: InKitchen, clock: Clock) -> None:
    only = kitchen.has_a_bake()
    clock.now = at(21)
    assert "Only one bake so far" in kitchen.get(f"/book/{only}/beside").text


def test_bakes_of_others_are_not_there(phone: Callable[[], InKitchen], kitchen: InKitchen, clock: Clock) -> None:
    stranger = phone()
    mine = stranger.has_a_bake()
    first, second = baked_twice(kitchen, clock)
    assert stranger.get(f"/book/{first}/beside").status_code == 404
    assert stranger.get(f"/book/{mine}/beside?with={second}").status_code == 404
    assert kitchen.get(f"/book/{first}/beside?with=nothing").status_code == 404


def test_what_nobody_began_is_laid_beside_nothing(kitchen: InKitchen, clock: Clock) -> None:
    first, second = baked_twice(kitchen, clock)
    clock.now = at(7)
    never = kitchen.has_a_bake()
    clock.now = at(23)
    assert never not in kitchen.get(f"/book/{first}/beside").text
    assert kitchen.get(f"/book/{first}/beside?with={never}").status_code == 404
    assert kitchen.get(f"/book/{first}/beside?with={second}").status_code == 200
