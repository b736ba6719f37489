"""Own sets of toppings: written down as grams for a tray, changed, put away, chosen in a plan."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from html import unescape

import pytest
from flask import Flask

from tests.web.conftest import InKitchen
from webapp.core.formula.toppings import ToppingSet
from webapp.core.kitchen import Kitchen
from webapp.doughs.larder import of_kitchen
from webapp.doughs.own import own
from webapp.doughs.own_kinds import TOPPINGS
from webapp.kitchens.access import change_kitchen

PAGE = "/larder/toppings"
# 1064 cm2 oven tray of a newcomer's kitchen (38 x 28 cm): 159.6 g is 0.15 g/cm2
LEEK = {"name": "Leek and curd", "pan": "oven-tray", "0-name": "Leek, fried", "0-grams": "159.6", "0-keep": "cold",
        "1-name": "Curd", "1-grams": "120,5", "1-keep": "half", "1-drained": "80", "1-allergens": "milk",
        "2-name": "Chives", "2-grams": "6", "2-when": "after", "2-note": "snipped"}  # fmt: skip


def _own(phone: InKitchen) -> dict[str, ToppingSet]:
    return own(phone.store, phone.kitchen_id(), TOPPINGS)


def _writes(phone: InKitchen, **typed: str) -> tuple[int, str]:
    answer = phone.posts(PAGE, LEEK | typed, page=f"{PAGE}/new")
    return answer.status_code, unescape(answer.text)


def test_grams_for_a_tray_are_kept_as_grams_for_each_square_centimetre(app: Flask, kitchen: InKitchen) -> None:
    assert _writes(kitchen)[0] == 303
    (kept,) = _own(kitchen).values()
    assert kept.name == "Leek and curd"
    leek, curd, chives = kept.items
    assert leek.load("tray") == leek.load("thin") == pytest.approx(0.15)
    assert (leek.perishable, leek.fridge_out_s) == (True, 0)
    assert (curd.perishable, curd.fridge_out_s, curd.drained_share, curd.allergens) == (True, 1800, 0.8, ("milk",))
    assert curd.load("pan") == pytest.approx(120.5 / 1064)
    assert (chives.when, chives.perishable, chives.note) == ("after", False, "snipped")


@pytest.mark.parametrize(("typed", "rows"), [({}, 4), ({"2-note": "snipped"}, 6), ({"9-grams": "5"}, 10)])
def test_a_mistake_brings_no_more_rows_than_a_few_after_what_was_typed(
    kitchen: InKitchen, typed: dict[str, str], rows: int
) -> None:
    page = kitchen.posts(PAGE, {"name": "Nothing yet", "pan": "oven-tray"} | typed, page=f"{PAGE}/new")
    assert page.status_code == 422
    assert len(re.findall(r'name="[0-9]-name"', page.text)) == rows
    assert all(f'value="{said}"' in page.text for said in typed.values())


def test_in_a_kitchen_of_ounces_a_set_is_typed_in_them_and_shown_with_the_grams_beside(kitchen: InKitchen) -> None:
    """4 oz are 113.398 g (28.349523125 g to the ounce, by definition)."""
    change_kitchen(kitchen.store, kitchen.kitchen_id(), lambda old: replace(old, mass_unit="oz"))
    assert "Ounces, ready to use" in kitchen.get(f"{PAGE}/new").text
    assert _writes(kitchen, **{"0-grams": "4", "1-grams": "4", "2-grams": "0.2"})[0] == 303
    ((key, kept),) = _own(kitchen).items()
    assert kept.items[0].load("tray") * 1064 == pytest.approx(113.398, abs=0.01)
    edit = unescape(kitchen.get(f"{PAGE}/{key}/edit").text)
    assert "Leek, fried: 4 oz" in edit
    ours = unescape(kitchen.get(f"{PAGE}/new?from=tomato-cheese").text)
    assert 'value="8.65"' in ours, "244.7 g (0.23 g/cm2 on 1064 cm2) are 8.632 oz: 8.65 on a scale of 0.05"
    assert 'value="4"' in edit
    shown = unescape(kitchen.get(PAGE).text).replace("\u00a0", " ")
    assert '4 oz <span class="soft">113 g</span>' in shown


def test_an_own_set_can_be_chosen_on_the_plan_form(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    assert "Leek and curd" in kitchen.get("/plan").text
    assert key in of_kitchen(kitchen.store, kitchen.kitchen_id()).toppings
    assert kitchen.plans({"toppings_key": key})


def test_a_shipped_set_made_ours_begins_as_a_copy_of_it(app: Flask, kitchen: InKitchen) -> None:
    page = unescape(kitchen.get(f"{PAGE}/new?from=tomato-cheese").text)
    assert 'value="Tomato and melting cheese, ours"' in page
    assert 'value="244.7"' in page  # 0.23 g/cm2 (Lehmann, Pizza Today 2013) on 1064 cm2 are 244.7 g
    assert re.search(r'<option selected value="half">', page)


def test_changing_a_set_keeps_its_key_and_shows_what_it_holds(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    page = kitchen.get(f"{PAGE}/{key}/edit").text
    assert 'value="120.5"' in page
    assert 'value="80"' in page
    again = kitchen.posts(f"{PAGE}/{key}/edit", LEEK | {"0-grams": "212.8"}, page=f"{PAGE}/{key}/edit")
    assert again.status_code == 303
    assert list(_own(kitchen)) == [key]
    assert _own(kitchen)[key].items[0].load("tray") == pytest.approx(0.2)


def test_a_rim_can_be_asked_for_and_is_shown_with_its_grams(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen, rim="y")
    (kept,) = _own(kitchen).values()
    assert kept.rim_on
    assert "crisp rim" in kitchen.get(PAGE).text.split("Of the house")[0]
    (key,) = _own(kitchen)
    assert re.search(r"<input checked[^>]*id=\"rim\"", kitchen.get(f"{PAGE}/{key}/edit").text)


def test_putting_away_takes_it_off_the_form(app: Flask, kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    assert kitchen.posts(f"{PAGE}/{key}/put-away", page=PAGE).status_code == 303
    assert "Leek and curd" not in kitchen.get("/plan").text
    assert kitchen.posts(f"{PAGE}/{key}/put-away").status_code == 404


def test_toppings_that_were_put_away_are_named_when_their_bake_is_planned_again(kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    bake_id = kitchen.plans({"toppings_key": key})
    kitchen.picks(bake_id)
    assert "put away since" not in kitchen.get(f"/plan?again={bake_id}").text
    kitchen.posts(f"{PAGE}/{key}/put-away", page=PAGE)
    assert "Leek and curd: put away since. Another stands in below" in kitchen.get(f"/plan?again={bake_id}").text
    assert "put away since" not in kitchen.get("/plan").text, "a new plan has nothing to give up"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"name": ""}, "The set needs a name"),
        ({"0-grams": "a lot"}, "“a lot” is not a number"),
        ({"0-grams": "9999"}, "out of reach"),
        ({"1-allergens": "milk, dust"}, "“dust” is not on the list of allergens"),
        ({"1-drained": "5"}, "out of reach"),
        ({"0-keep": "cellar"}, "not on the list"),
        ({"2-when": "during"}, "not on the list"),
        ({"pan": "bathtub"}, "not on the list"),
        ({"0-name": "", "1-name": "", "1-grams": "", "2-name": "", "2-grams": ""}, "The topping needs a name"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_typed_is_lost(
    app: Flask, kitchen: InKitchen, typed: dict[str, str], said: str
) -> None:
    status, page = _writes(kitchen, **typed)
    assert status == 422
    assert said in page
    assert "snipped" in page
    assert _own(kitchen) == {}


@pytest.mark.parametrize("typed", [{"3-drained": "50"}, {"3-allergens": "milk"}, {"3-note": "torn"}])
def test_of_a_new_row_all_that_is_typed_counts(app: Flask, kitchen: InKitchen, typed: dict[str, str]) -> None:
    status, page = _writes(kitchen, **typed)
    assert status == 422
    assert 'href="#3-name"' in page
    assert "The topping needs a name" in page
    assert next(iter(typed.values())) in page
    assert _own(kitchen) == {}


def test_a_topping_whose_name_and_grams_are_emptied_is_gone_whatever_else_its_row_holds(kitchen: InKitchen) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    sent = LEEK | {"1-name": "", "1-grams": ""}
    assert kitchen.posts(f"{PAGE}/{key}/edit", sent, page=f"{PAGE}/{key}/edit").status_code == 303
    (kept,) = _own(kitchen).values()
    assert [one.name for one in kept.items] == ["Leek, fried", "Chives"]


def test_all_mistakes_are_said_at_once(kitchen: InKitchen) -> None:
    page = _writes(kitchen, **{"name": "", "0-grams": "x", "1-allergens": "dust"})[1]
    for said in ("needs a name", "is not a number", "not on the list of allergens"):
        assert said in page


def test_a_set_of_nothing_is_refused(kitchen: InKitchen) -> None:
    answer = kitchen.posts(PAGE, {"name": "Air", "pan": "oven-tray"}, page=f"{PAGE}/new")
    assert answer.status_code == 422
    assert "There is nothing on it" in answer.text


def test_a_full_shelf_says_so(app: Flask, kitchen: InKitchen) -> None:
    store, kitchen_id = kitchen.store, kitchen.kitchen_id()
    for place in range(TOPPINGS.most):
        store.put_in_larder(kitchen_id, "toppings", f"own-{place}", {"key": f"own-{place}", "name": "X"}, 1)
    status, page = _writes(kitchen)
    assert status == 422
    assert "Put one away first" in page


def test_a_kitchen_without_pans_measures_on_a_usual_tray(app: Flask, kitchen: InKitchen) -> None:
    change_kitchen(kitchen.store, kitchen.kitchen_id(), lambda k: Kitchen(zone=k.zone, pans=()))
    assert "Oven tray 38 x 28 cm" in kitchen.get(PAGE).text


def test_sets_of_another_kitchen_are_as_unknown_as_none(
    app: Flask, kitchen: InKitchen, phone: Callable[[], InKitchen]
) -> None:
    _writes(kitchen)
    (key,) = _own(kitchen)
    other = phone()
    assert "Leek and curd" not in other.get(PAGE).text
    for wanted in (key, "no-such", "tomato-cheese"):
        assert other.get(f"{PAGE}/{wanted}/edit").status_code == 404
        assert other.posts(f"{PAGE}/{wanted}/edit", LEEK).status_code == 404
        assert other.posts(f"{PAGE}/{wanted}/put-away").status_code == 404
    assert other.get(f"{PAGE}/new?from={key}").status_code == 404


@pytest.mark.parametrize(
    ("name", "keep", "perishes"),
    [
        # Foods that need keeping cold: FDA Food Code, time/temperature control for safety (raw animal foods, cut
        # tomatoes, plants that were cooked); what is dried, pickled in oil or salted stands.
        ("Minced beef", "told", True),
        ("Egg", "told", True),
        ("Blue cheese", "told", True),
        ("Mozzarella", "told", True),
        ("Tomatoes, crushed", "told", True),
        ("Roast peppers", "told", True),
        ("Dried tomatoes", "told", False),
        ("Olive oil with garlic oil", "told", False),
        ("Olives", "told", False),
        ("Minced beef", "shelf", True),  # no answer makes that safe
        ("Hard cheese", "shelf", False),  # that one does
        ("Olives", "cold", True),
    ],
)
def test_how_a_topping_is_kept_is_told_by_its_name_where_nobody_says_it(
    kitchen: InKitchen, name: str, keep: str, perishes: bool
) -> None:
    new = {"name": "Ours", "pan": "oven-tray", "0-name": name, "0-grams": "100", "0-keep": keep}
    assert kitchen.posts(PAGE, new, page=f"{PAGE}/new").status_code == 303
    (kept,) = _own(kitchen).values()
    assert kept.items[0].perishable is perishes


def test_the_form_begins_with_what_the_name_tells_and_says_again_what_was_said(kitchen: InKitchen) -> None:
    first = re.search(
        r'<select[^>]*name="0-keep"[^>]*><option value="told">As its name tells<', kitchen.get(f"{PAGE}/new").text
    )
    assert first
    new = {"name": "Ours", "pan": "oven-tray", "0-name": "Green sauce", "0-grams": "100", "0-risk": "raw-egg"}
    kitchen.posts(PAGE, new, page=f"{PAGE}/new")
    ((key, kept),) = _own(kitchen).items()
    assert (kept.items[0].risk, kept.items[0].perishable) == ("raw-egg", True)
    assert '<option selected value="raw-egg">' in unescape(kitchen.get(f"{PAGE}/{key}/edit").text)
    assert kitchen.posts(PAGE, new | {"0-risk": "poison"}, page=f"{PAGE}/new").status_code == 422
