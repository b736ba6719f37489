"""The larder: doughs in percent, written down in grams, changed with every version kept, put away."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.web.conftest import InKitchen
from tests.web.seen import fields_of, mistakes, sheet


def test_grams_become_percent_of_the_flour(kitchen: InKitchen) -> None:
    saved = kitchen.posts("/larder", sheet(kitchen), page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    page = kitchen.get(saved.headers["Location"]).text
    # 350 / 500, 11 / 500 and 1 / 500 of the flour: baker's percentages by their definition.
    for percent in ("70 %", "2.2 %", "0.2 %"):
        assert percent in page
    assert "gluten" in page, "a flour counts as gluten unless none is written"
    assert "Mill dough" in kitchen.get("/larder").text
    assert "Mill dough" in kitchen.get("/").text


def test_an_edit_is_a_new_version_and_the_one_before_is_kept(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    form = re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0]
    typed = fields_of(form)
    assert (typed["unit"], typed["1-amount"]) == ("percent", "70")
    assert kitchen.posts(f"{key}/edit", typed | {"1-amount": "74"}, page=f"{key}/edit").status_code == 303
    page = kitchen.get(key).text
    assert "74 %" in page
    assert "Version 1" in page
    untouched = re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0]
    kitchen.posts(f"{key}/edit", fields_of(untouched), page=f"{key}/edit")
    assert "Version 2" not in kitchen.get(key).text, "saved as it was: no new version"


@pytest.mark.parametrize("source", ["bench-tray", "poolish-tray", "milk-round", "part-whole-tray"])
def test_a_copy_of_a_shipped_formula_is_the_same_dough(kitchen: InKitchen, source: str) -> None:
    form = re.findall(r"<form.*?</form>", kitchen.get(f"/larder/new?from={source}").text, re.DOTALL)[0]
    saved = kitchen.posts("/larder", fields_of(form), page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    pages = (kitchen.get(path).text for path in (saved.headers["Location"], f"/larder/{source}"))
    ours, theirs = (re.findall(r"<tbody>.*?</tbody>", page, re.DOTALL)[0] for page in pages)
    assert ours == theirs


WRONG_DOUGH = [
    ({"name": ""}, "The formula needs a name"),
    ({"0-amount": ""}, "It needs a number"),
    ({"0-amount": "", "0-name": ""}, "There is no flour"),
    ({"0-amount": "0"}, "There is no flour"),
    ({"1-amount": "NaN"}, "“NaN” is not a number"),
    ({"1-amount": "", "1-name": ""}, "There is no water"),
    ({"1-amount": "900"}, "a batter"),
    ({"2-amount": "60"}, "salt is no dough"),
    ({"yeast": "45"}, "yeast is too much"),
    ({"yeast": "0"}, "Between 0.001 and 2000 g"),
    ({"1-kind": ""}, "What it is is not answered yet"),
    ({"0-allergens": "gravel"}, "“gravel” is not on the list of allergens"),
    ({"target_times": "4", "past_times": "3"}, "below the rise that is past it"),
    ({"loading_low": "0.9"}, "must rise from low over usual to high"),
    ({"pre_style": "poolish", "pre_flour": "50", "pre_water": "150", "pre_yeast": "0.1"}, "the formula has"),
    ({"style": "spherical"}, "“spherical” is not on the list"),
]


@pytest.mark.parametrize(("changes", "words"), WRONG_DOUGH, ids=[words for _, words in WRONG_DOUGH])
def test_what_is_no_dough_is_named_and_kept_as_typed(kitchen: InKitchen, changes: dict[str, str], words: str) -> None:
    typed = sheet(kitchen, changes)
    response = kitchen.posts("/larder", typed, page="/larder/new")
    assert response.status_code == 422
    assert words in mistakes(response.text)
    again = fields_of(next(one for one in re.findall(r"<form.*?</form>", response.text, re.DOTALL) if "0-name" in one))
    for name, value in typed.items():
        if value and name.endswith(("-name", "-amount", "yeast", "_low", "_times", "-allergens")):
            assert again[name] == value, name


def test_a_formula_put_away_leaves_the_shelf_but_not_the_bakes(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    kitchen.plans({"formula_key": key.rsplit("/", 1)[1]})
    assert kitchen.posts(f"{key}/put-away", page=key).status_code == 303
    assert kitchen.get(key).status_code == 404
    assert "Mill dough" not in kitchen.get("/larder").text
    assert kitchen.get("/").status_code == 200, "the last wish named it"
    assert kitchen.get("/week").status_code == 200


def test_shipped_and_foreign_formulas_cannot_be_changed(phone: Callable[[], InKitchen]) -> None:
    ours, theirs = phone(), phone()
    key = ours.posts("/larder", sheet(ours), page="/larder/new").headers["Location"]
    theirs.get("/")
    for path in (key, "/larder/bench-tray", "/larder/never-was"):
        assert theirs.get(f"{path}/edit").status_code == 404
        assert theirs.posts(f"{path}/edit", sheet(theirs)).status_code == 404
        assert theirs.posts(f"{path}/put-away").status_code == 404
    assert theirs.get(key).status_code == 404
