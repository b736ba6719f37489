"""Which pan is one tap; how many of each is asked behind it, and what is typed there is meant."""

from __future__ import annotations

import re

import pytest

from tests.web.conftest import InKitchen
from tests.web.seen import words
from webapp.kitchens import bakes

AS_SHOWN = {"pans_was": "oven-tray:1,round-28:0", "pan-oven-tray": "1", "pan-round-28": "0"}


def said(real: InKitchen, **answers: str) -> str:
    """What the day rests on for these answers."""
    page = real.get("/", query_string=AS_SHOWN | answers).text
    found = re.search(r'<p class="rests">.*?</p>', page, re.DOTALL)
    assert found, words(page)
    return words(found[0])


@pytest.mark.parametrize("address", ["/change/pan", "/plan"])
def test_what_we_bake_in_is_one_question_with_one_answer(real: InKitchen, address: str) -> None:
    page = real.get(address).text
    chosen = re.findall(r"<input[^>]*name=\"pan_one\"[^>]*>", page)
    assert len(chosen) == 2
    assert [("checked" in one) for one in chosen] == [True, False], "the usual pan, and no other"
    assert "Oven tray 38 x 28 cm Feeds 2 or 3, 1064 cm²" in words(page)
    before, _, behind = page.partition("Two pans or more")
    assert 'name="pan-oven-tray"' not in before
    assert 'name="pan-oven-tray"' in behind
    assert 'name="pans_was" value="oven-tray:1,round-28:0"' in page


def test_the_pan_that_is_tapped_is_the_only_one(real: InKitchen) -> None:
    assert "Round pan 28 cm" in said(real, pan_one="round-28")
    assert "Oven tray" not in said(real, pan_one="round-28")
    assert "pan_one" not in real.get("/", query_string=AS_SHOWN | {"pan_one": "round-28"}).text, "used up"


def test_counts_that_are_typed_are_meant_whatever_is_tapped(real: InKitchen) -> None:
    both = said(real, **{"pan_one": "oven-tray", "pan-round-28": "1"})
    assert "Oven tray" in both
    assert "Round pan" in both
    again = real.get("/change/pan?pan-oven-tray=1&pan-round-28=1").text
    assert not re.search(r'name="pan_one"[^>]*checked', again), "of two none is the one"
    assert re.search(r"<details open>\s*<summary>Two pans or more", again)


def test_a_pan_of_no_kitchen_changes_nothing(real: InKitchen) -> None:
    assert "Oven tray" in said(real, pan_one="stolen")


def test_the_form_of_all_questions_takes_the_pan_that_is_tapped(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans({**AS_SHOWN, "pan_one": "round-28"})
    assert [pan.key for pan in bakes.bake(kitchen.store, kitchen.kitchen_id(), bake_id).wish.pans] == ["round-28"]
    two = kitchen.plans({**AS_SHOWN, "pan_one": "oven-tray", "pan-oven-tray": "2"})
    assert [pan.count for pan in bakes.bake(kitchen.store, kitchen.kitchen_id(), two).wish.pans] == [2]


def test_of_two_pans_the_day_says_whether_they_bake_at_once_and_that_is_asked_where_their_number_is(
    real: InKitchen,
) -> None:
    """A new kitchen bakes one at a time (webapp/core/kitchen.py); two shelves at once when somebody says so."""
    assert "baked" not in said(real)
    assert "baked one after the other" in said(real, **{"pan-oven-tray": "2"})
    assert "both baked at once" in said(real, **{"pan-oven-tray": "2", "at_once": "2"})
    rows = {"other_shape": "round", "other_length": "30", "other_count": "3", "at_once": "2"}
    assert "baked 2 at once" in said(real, **rows)
    again = real.get("/change/pan?pan-oven-tray=2").text
    asked = re.search(r"<details open>\s*<summary>Two pans or more.*?</details>", again, re.DOTALL)
    assert asked
    assert {"pan-oven-tray", "at_once"} <= set(re.findall(r'name="([^"]+)"', asked[0]))
