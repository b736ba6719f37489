"""The larder: doughs in percent, written down in grams, changed with every version kept, put away."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.web.conftest import InKitchen
from tests.web.seen import fields_of, mistakes, sheet, spaced


def test_grams_become_percent_of_the_flour(kitchen: InKitchen) -> None:
    saved = kitchen.posts("/larder", sheet(kitchen), page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    page = spaced(kitchen.get(saved.headers["Location"]).text)
    # 350 / 500, 11 / 500 and 1 / 500 of the flour: baker's percentages by their definition.
    for percent in ("70 %", "2.2 %", "0.2 %"):
        assert percent in page
    assert "gluten" in page, "a flour counts as gluten unless none is written"
    assert "Mill dough" in kitchen.get("/larder").text
    assert "Mill dough" in kitchen.get("/plan").text


def test_an_edit_is_a_new_version_and_the_one_before_is_kept(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    form = re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0]
    typed = fields_of(form)
    assert (typed["unit"], typed["1-amount"]) == ("grams", "350")
    assert kitchen.posts(f"{key}/edit", typed | {"1-amount": "370"}, page=f"{key}/edit").status_code == 303
    page = spaced(kitchen.get(key).text)
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
    ({"2-amount": "60"}, "salt is outside the range of a dough"),
    ({"yeast": "45"}, "yeast is too much"),
    ({"yeast": "0"}, "Between 0.001 and 2000 g"),
    ({"1-kind": ""}, "What it is is not answered yet"),
    ({"0-allergens": "gravel"}, "“gravel” is not on the list of allergens"),
    ({"target_times": "4", "past_times": "3"}, "below the rise that is past it"),
    ({"loading_low": "0.9"}, "must rise from low over usual to high"),
    ({"pre_style": "poolish", "pre_flour": "260", "pre_water": "380", "pre_yeast": "0.3"}, "the formula has"),
    ({"style": "spherical"}, "“spherical” is not on the list"),
    ({"4-allergens": "milk"}, "The ingredient needs a name"),
    ({"4-water": "60"}, "The ingredient needs a name"),
    ({"pre_water": "380"}, "This preferment is of no kind yet"),
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


def test_an_ingredient_whose_name_and_amount_are_emptied_is_gone_and_so_is_a_preferment_of_no_kind(
    kitchen: InKitchen,
) -> None:
    made = sheet(kitchen, {"4-name": "Yoghurt", "4-kind": "other", "4-amount": "30", "4-allergens": "milk",
        "pre_style": "poolish", "pre_flour": "150", "pre_water": "150", "pre_yeast": "0.3"})  # fmt: skip
    key = kitchen.posts("/larder", made, page="/larder/new").headers["Location"]
    assert "Yoghurt" in kitchen.get(key).text
    sent = edited(kitchen, key) | {"3-name": "", "3-amount": "", "pre_style": ""}
    saved = kitchen.posts(f"{key}/edit", sent, page=f"{key}/edit")
    assert saved.status_code == 303, mistakes(saved.text)
    assert "Yoghurt" not in kitchen.get(key).text.split("Version 1", maxsplit=1)[0]
    assert edited(kitchen, key)["pre_style"] == ""


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


def edited(kitchen: InKitchen, key: str) -> dict[str, str]:
    """What stands on the sheet of one of our formulas."""
    return fields_of(re.findall(r"<form.*?</form>", kitchen.get(f"{key}/edit").text, re.DOTALL)[0])


@pytest.mark.parametrize("unit", ["grams", "oz", "percent"])
def test_what_was_typed_comes_back_as_typed_however_often_it_is_saved(kitchen: InKitchen, unit: str) -> None:
    """487 g of flour and 311.5 g of water are 63.963... %: no two decimals could bring the grams back."""
    amounts = {"0-amount": "487", "1-amount": "311.5", "2-amount": "10.7", "yeast": "0.33"}
    poolish = {"pre_style": "poolish", "pre_flour": "163", "pre_water": "163", "pre_yeast": "0.11"}
    if unit == "percent":
        amounts = {"0-amount": "100", "1-amount": "63.9635", "2-amount": "2.1975", "yeast": "0.0675"}
        poolish = {"pre_style": "biga", "pre_flour": "33.125", "pre_water": "47.5", "pre_yeast": "0.0825"}
    typed = sheet(kitchen, amounts | poolish | {"unit": unit, "wanted": "24.5"})
    key = kitchen.posts("/larder", typed, page="/larder/new").headers["Location"]
    for _ in range(3):
        again = edited(kitchen, key)
        for name, value in (amounts | poolish | {"unit": unit, "wanted": "24.5"}).items():
            assert again[name] == value, name
        kitchen.posts(f"{key}/edit", again, page=f"{key}/edit")
    assert "Version 1" not in kitchen.get(key).text, "nothing was changed"


@pytest.mark.parametrize(
    ("style", "water", "percents"),
    [("poolish", "165", "100 %"), ("biga", "74.25", "45 %"), ("sponge", "103", "62.4 %")],
)  # fmt: skip
def test_each_kind_of_preferment_is_written_down_in_grams(
    kitchen: InKitchen, style: str, water: str, percents: str
) -> None:
    # 165 g of 500 g flour are 33 %; poolish as much water as flour, a biga 45 %, a sponge 60 to 63 % (DiMuzio, p. 69).
    typed = sheet(kitchen, {"pre_style": style, "pre_flour": "165", "pre_water": water, "pre_yeast": "0.33"})
    saved = kitchen.posts("/larder", typed, page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    page = " ".join(re.sub(r"<[^>]+>", " ", kitchen.get(saved.headers["Location"]).text).split())
    assert f"{style.capitalize()}: 33 % of the flour, with {percents} water and 0.2 % yeast of its own flour" in page


def test_a_preferment_in_grams_that_cannot_be_is_named(kitchen: InKitchen) -> None:
    wrong = {"pre_style": "poolish", "pre_flour": "450", "pre_water": "100", "pre_yeast": "0.3"}
    answer = kitchen.posts("/larder", sheet(kitchen, wrong), page="/larder/new")
    assert answer.status_code == 422
    assert "Its flour comes to 90 % of all flour" in mistakes(answer.text)
    assert "Its water comes to 22.22 % of its own flour" in mistakes(answer.text)


def test_the_page_of_a_formula_shows_grams_beside_percent(kitchen: InKitchen) -> None:
    key = kitchen.posts("/larder", sheet(kitchen), page="/larder/new").headers["Location"]
    rows = re.sub(r"<[^>]+>", " ", re.findall(r"<tbody>.*?</tbody>", kitchen.get(key).text, re.DOTALL)[0])
    assert "Water 70 % 350 g" in " ".join(rows.split())


def test_a_copy_keeps_how_warm_the_dough_is_wanted(kitchen: InKitchen) -> None:
    form = fields_of(re.findall(r"<form.*?</form>", kitchen.get("/larder/new?from=milk-round").text, re.DOTALL)[0])
    key = kitchen.posts("/larder", form, page="/larder/new").headers["Location"]
    assert re.search(r"<dt>Mixed at</dt><dd>22 °C", spaced(kitchen.get(key).text)), "the shipped one is wanted at 22 °C"


PERISHABLE = [
    ({"3-name": "Milk", "3-kind": "other", "3-water": "87"}, True),
    ({"3-name": "Grated cheese", "3-kind": "other"}, True),
    ({"3-name": "Garlic oil", "3-kind": "fat"}, True),
    ({"3-name": "Something", "3-kind": "other", "3-allergens": "eggs"}, True),
    ({"3-name": "Butter", "3-kind": "fat", "3-allergens": "milk"}, False),
    ({"3-name": "Garlic powder", "3-kind": "other"}, False),
    ({"3-name": "Eggplant", "3-kind": "other"}, False),
]


@pytest.mark.parametrize(("row", "cold"), PERISHABLE, ids=[row["3-name"] for row, _ in PERISHABLE])
def test_what_perishes_keeps_a_dough_cold_without_being_ticked(
    kitchen: InKitchen, row: dict[str, str], cold: bool
) -> None:
    """FDA Food Code: milk, egg, cheese, garlic in oil are kept by time and temperature; butter not."""
    typed = sheet(kitchen, row | {"3-amount": "25"})
    assert "cold_only" not in typed
    saved = kitchen.posts("/larder", typed, page="/larder/new")
    assert saved.status_code == 303, mistakes(saved.text)
    page = kitchen.get(saved.headers["Location"]).text
    assert ("Not for hours at room temperature" in page) is cold
    assert (f"With {row['3-name']} in it it rises in the fridge" in page) is cold
