"""A household changes its units or its clock while a bake is on: no page mixes two, and whose clock it is is said."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.samples import at
from tests.web.conftest import Clock, InKitchen
from webapp.kitchens.access import change_kitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app
from webapp.words.times import other_clock


@pytest.fixture
def real(settings: Settings, clock: Clock) -> InKitchen:
    return InKitchen(create_app(settings, now=clock).test_client())


def plain(page: str) -> str:
    return " ".join(re.sub(r"<(script|svg|style)[\s\S]*?</\1>|<[^>]+>", " ", page).split()).replace("\u00a0", " ")


def test_after_a_change_of_units_a_bake_is_read_in_the_new_ones_alone(real: InKitchen) -> None:
    bake_id = real.has_a_bake()
    before = plain(real.get(f"/bakes/{bake_id}").text)
    assert re.search(r"\d g of ", before)
    assert re.search(r"\d °C", before)
    changed = {"mass_unit": "oz", "heat_unit": "F"}
    change_kitchen(real.store, real.kitchen_id(), lambda one: replace(one, **changed))  # type: ignore[arg-type]
    bundle = real.get(f"/api/bakes/{bake_id}/bundle").json
    assert bundle is not None
    steps = " ".join(step["text"] for step in bundle["plan"]["steps"]).replace("\u00a0", " ")
    pages = (real.get(f"/bakes/{bake_id}").text, real.get(f"/bakes/{bake_id}/print").text)
    lists = r"<table[\s\S]*?</table>"  # the list of weights has a column of grams beside the ounces, whatever is read
    for said in (*(plain(re.sub(lists, " ", page)) for page in pages), steps):
        assert not re.search(r"\d g\b", said), re.findall(r".{30}\d g\b.{20}", said)
    assert re.search(r"\d oz", steps)
    mixing = next(step["text"] for step in bundle["plan"]["steps"] if step["kind"] == "mix")
    assert "°F" in mixing
    assert "°C" not in mixing  # of the oven's steps it is the dial's own unit, and cautions say both


def test_a_bake_keeps_its_clock_and_says_so_once_the_household_s_is_another(real: InKitchen) -> None:
    """Supper at 19:30 in London in November, which is UTC, is 21:30 in Athens (two hours ahead, EET)."""
    bake_id = real.has_a_bake()
    assert "Times here are by" not in real.get(f"/bakes/{bake_id}").text
    real.posts("/settings/zone", {"zone": "Europe/Athens"})
    page = plain(real.get(f"/bakes/{bake_id}").text)
    assert "Times here are by the clock of Europe/London; by that of Europe/Athens supper is at 21:30." in page
    assert "Supper 19:30" in page


def test_where_it_is_another_day_there_the_day_is_said() -> None:
    """19:30 UTC on Wednesday is 08:30 on Thursday in Auckland's summer (UTC+13)."""
    assert other_clock(at(19, 30), "Europe/Lisbon", "Pacific/Auckland", "24").endswith("supper is at Thursday 08:30.")
    assert other_clock(at(19, 30), "Europe/Lisbon", "Europe/London", "24") == ""
