"""The page of a bake is at most three screens of a phone, whatever is baked and however far it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from playwright.sync_api import Browser

from e2e.conftest import PHONE
from e2e.kinds_of_bakes import STATES, Baking, heights
from e2e.server import Server
from webapp.core.kitchen import Kitchen

PLAIN = Kitchen(zone="UTC")
DRY = replace(PLAIN, yeast_kind="active-dry")  # woken, and of so little a yeast water is made
OUNCES = replace(PLAIN, mass_unit="oz", heat_unit="F", clock="12")


@pytest.mark.parametrize(
    "baking",
    [
        Baking(DRY, "part-whole-tray"),  # the longest list of what is weighed, with and without a part made ahead
        Baking(PLAIN, "bench-tray", trays=2),  # two loads, the cold way the longest of them
        Baking(OUNCES, "milk-round"),  # a rich dough, and every amount twice
    ],
    ids=lambda one: f"{one.formula_key}-{one.trays}",
)
def test_no_bake_is_longer_than_three_screens_of_a_phone(
    browser: Browser, shared_server: Server, baking: Baking
) -> None:
    seen = list(heights(browser, shared_server, baking))
    assert {state for _, state, _ in seen} == set(STATES)
    assert [one for one in seen if one[2] > 3 * PHONE["height"]] == []
