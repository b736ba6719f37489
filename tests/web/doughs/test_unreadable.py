"""What a damaged disk or a later version left on the shelf is named and skipped; it never locks the app."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import update

from tests.web.conftest import NOW, InKitchen
from tests.web.seen import sheet
from webapp.core.errors import PlanError
from webapp.doughs.own import Kind, read_own
from webapp.store.schema.tables import larder
from webapp.web import doughs

DAMAGED = ["null", "[1, 2]", '"text"', "not json", "", '{"name": "Leek boat", "from": "a later version"}']
CHOOSES = ("/plan", "/change/dough", "/take-along")
PAGES = {"formula": "/larder", "method": "/larder/methods", "toppings": "/larder/toppings"}


def _lies_there(kitchen: InKitchen, shelf: str, body: str) -> None:
    kitchen.store.put_in_larder(kitchen.kitchen_id(), shelf, "own-odd", {}, 1)
    with kitchen.store.transaction() as db:
        db.execute(update(larder).where(larder.c.key == "own-odd").values(body=body))


@pytest.mark.parametrize("body", DAMAGED)
@pytest.mark.parametrize("shelf", PAGES)
def test_an_unreadable_thing_is_named_on_its_shelf_and_every_page_opens(
    kitchen: InKitchen, shelf: str, body: str
) -> None:
    _lies_there(kitchen, shelf, body)
    for page in ("/", "/week", "/settings", "/kitchen", "/take-along", "/export.json", *PAGES.values()):
        assert kitchen.get(page).status_code == 200, page
    name = json.loads(body)["name"] if body.startswith("{") else "own-odd"
    assert f"{name}: cannot be read" in kitchen.get(PAGES[shelf]).text
    others = [page for one, page in PAGES.items() if one != shelf]
    assert all("cannot be read" not in kitchen.get(page).text for page in others)
    for page in CHOOSES:  # where it could be chosen, and where it goes along
        assert f"{name}: cannot be read" in kitchen.get(page).text, page


# One value of the wrong type inside a thing that was made by us, and text that can be shown nowhere.
STORED = Path(__file__).parents[2] / "golden" / "stored"
INSIDE: list[tuple[str, str, list[str | int], Any]] = [
    ("method", "own_method", ["step", 0, "kind"], ["mix"]),
    ("method", "own_method", ["step", 0, "kind"], {}),
    ("method", "own_method", ["step", 0, "wait"], [0, "long", None]),
    ("formula", "own_formula", ["ingredients", 0, "allergens"], [[]]),
    ("formula", "own_formula", ["ingredients", 0, "percent"], {"of": 80}),
    ("formula", "own_formula", ["name"], "\ud800"),
    ("toppings", "own_toppings", ["items", 0, "allergens"], [{}]),
]


def _changed(name: str, path: list[str | int], value: Any) -> dict[str, Any]:
    body: dict[str, Any] = json.loads((STORED / f"{name}.json").read_text(encoding="utf-8"))
    inner: Any = body
    for one in path[:-1]:
        inner = inner[one]
    inner[path[-1]] = value
    return body


@pytest.mark.parametrize(("shelf", "name", "path", "value"), INSIDE)
def test_a_value_of_the_wrong_type_anywhere_in_a_thing_locks_no_page(
    kitchen: InKitchen, shelf: str, name: str, path: list[str | int], value: Any
) -> None:
    damaged = _changed(name, path, value)
    kitchen.store.put_in_larder(kitchen.kitchen_id(), shelf, "own-odd", damaged, 1)
    for page in ("/", *CHOOSES, "/week", "/change/pan", *PAGES.values()):
        assert kitchen.get(page).status_code == 200, page
    assert "cannot be read" in kitchen.get(PAGES[shelf]).text
    sound = json.loads((STORED / f"{name}.json").read_text(encoding="utf-8"))
    kitchen.store.put_in_larder(kitchen.kitchen_id(), shelf, "own-odd", sound, 2)  # put right: the old one stays behind
    for page in ("/", *PAGES.values(), f"{PAGES[shelf]}/own-odd/edit"):
        assert kitchen.get(page).status_code == 200, page
    assert "cannot be read" not in kitchen.get(PAGES[shelf]).text


@pytest.mark.parametrize(("shelf", "name", "path", "value"), INSIDE)
def test_a_copy_with_such_a_value_is_read_but_for_it(
    kitchen: InKitchen, shelf: str, name: str, path: list[str | int], value: Any
) -> None:
    copy = kitchen.get("/export.json").json
    assert copy is not None
    damaged = _changed(name, path, value)
    copy["larder"] = [{"shelf": shelf, "key": "own-odd", "versions": [damaged], "put_away": False}]
    sent = {"file": (io.BytesIO(json.dumps(copy).encode()), "copy.json")}
    answer = kitchen.posts("/import", sent, page="/take-along", content_type="multipart/form-data")
    assert answer.status_code in (303, 422)
    assert kitchen.get("/").status_code == 200


def test_a_dough_that_was_wished_for_and_cannot_be_read_any_more_locks_no_page(kitchen: InKitchen) -> None:
    made = kitchen.posts("/larder", sheet(kitchen, {"name": "Leek boat"}), page="/larder/new").headers["Location"]
    key = made.rpartition("/")[2]
    bake_id = kitchen.plans({"formula_key": key})
    kitchen.picks(bake_id)
    with kitchen.store.transaction() as db:
        db.execute(update(larder).where(larder.c.key == key).values(body='{"name": "Leek boat"}'))
    for page in (
        "/",
        "/plan",
        "/change/dough",
        "/week",
        f"/bakes/{bake_id}",
        f"/api/bakes/{bake_id}/bundle",
        "/export.json",
    ):
        assert kitchen.get(page).status_code == 200, page
    assert "Leek boat: cannot be read" in kitchen.get("/plan").text


def test_the_three_families_share_one_piece_of_code() -> None:
    """Each says what its form holds; none keeps anything or answers a form by itself."""
    for name in ("formulas", "methods", "toppings"):
        text = (Path(doughs.__file__).parent / f"{name}.py").read_text(encoding="utf-8")
        assert "(OwnPages[" in text
        assert not [word for word in ("bp.post", "flash(", "redirect(", "own_things.save", "PlanError") if word in text]


def test_what_was_read_once_is_known_by_its_text(kitchen: InKitchen) -> None:
    """A page asks for the whole larder several times; another version has another text."""
    read = list[str]()

    def reads(plain: Mapping[str, Any]) -> str:
        read.append(plain["name"])
        if plain["name"] == "odd":
            raise PlanError.at("name", "supper-past")
        return str(plain["name"])

    kind = Kind("sauces", 9, reads, lambda name: {"name": name})
    store, owner, ids = kitchen.store, kitchen.kitchen_id(), iter("abcdef")
    for name in ("red", "odd"):
        store.put_in_larder(owner, kind.name, next(ids), {"name": name}, NOW)
    for _ in range(3):
        assert read_own(store, owner, kind) == ({"a": "red"}, ("odd",))
    assert read == ["red", "odd"]
    store.put_in_larder(owner, kind.name, "a", {"name": "green"}, NOW + 1)
    assert read_own(store, owner, kind) == ({"a": "green"}, ("odd",))
