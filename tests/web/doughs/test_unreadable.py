"""What a damaged disk or a later version left on the shelf is named and skipped; it never locks the app."""

from __future__ import annotations

import json
import sqlite3

import pytest

from tests.web.conftest import InKitchen

DAMAGED = ["null", "[1, 2]", '"text"', "not json", "", '{"name": "Leek boat", "from": "a later version"}']
PAGES = {"formula": "/larder", "method": "/larder/methods", "toppings": "/larder/toppings"}


def _lies_there(kitchen: InKitchen, shelf: str, body: str) -> None:
    kitchen.store.put_on_shelf(kitchen.kitchen_id(), shelf, "own-odd", {}, 1)
    with sqlite3.connect(kitchen.store.path) as db:
        db.execute("UPDATE larder SET body = ? WHERE key = 'own-odd'", (body,))
    db.close()


@pytest.mark.parametrize("body", DAMAGED)
@pytest.mark.parametrize("shelf", PAGES)
def test_an_unreadable_thing_is_named_on_its_shelf_and_every_page_opens(
    kitchen: InKitchen, shelf: str, body: str
) -> None:
    _lies_there(kitchen, shelf, body)
    for page in ("/", "/week", "/export.json", *PAGES.values()):
        assert kitchen.get(page).status_code == 200, page
    name = json.loads(body)["name"] if body.startswith("{") else "own-odd"
    assert f"{name}: cannot be read" in kitchen.get(PAGES[shelf]).text
    others = [page for one, page in PAGES.items() if one != shelf]
    assert all("cannot be read" not in kitchen.get(page).text for page in others)
