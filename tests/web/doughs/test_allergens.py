"""Own toppings with the field of allergens left empty: no false comfort anywhere that they are shown."""

from __future__ import annotations

import re

from tests.web.conftest import Clock, InKitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app

PAGE = "/larder/toppings"


def friday(kitchen: InKitchen, **allergens: str) -> str:
    """Anchovies, walnuts, mozzarella and chilli oil, written down by hand; the key of the set."""
    rows = {"0": "Anchovies", "1": "Walnuts", "2": "Mozzarella", "3": "Chilli oil"}
    typed = {"name": "Friday", "pan": "oven-tray"}
    for place, name in rows.items():
        typed |= {f"{place}-name": name, f"{place}-grams": "60", f"{place}-when": "before", f"{place}-keep": "shelf"}
    typed |= {f"{place.removeprefix('row')}-allergens": said for place, said in allergens.items()}
    assert kitchen.posts(PAGE, typed).status_code == 303
    found = re.search(rf"{PAGE}/(own-[\w-]+)/edit", kitchen.get(PAGE).text)
    assert found
    return found[1]


def page_text(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_the_list_of_toppings_says_what_a_name_tells_and_what_is_not_stated(kitchen: InKitchen) -> None:
    friday(kitchen)
    shown = page_text(kitchen.get(PAGE).text)
    assert "fish (by its name)" in shown
    assert "nuts (by its name)" in shown
    assert "milk (by its name)" in shown
    assert "allergens not stated" in shown


def test_what_was_said_comes_back_to_the_form_and_what_was_not_stays_empty(kitchen: InKitchen) -> None:
    key = friday(kitchen, row2="milk", row3="none")
    page = kitchen.get(f"{PAGE}/{key}/edit").text
    values = dict(re.findall(r'name="(\d-allergens)"[^>]*value="([^"]*)"', page))
    first = [values[f"{place}-allergens"] for place in range(4)]
    assert first == ["", "", "milk", "none"]


def test_a_word_that_is_no_allergen_is_named_with_the_way_out(kitchen: InKitchen) -> None:
    answer = kitchen.posts(
        PAGE,
        {"name": "F", "pan": "oven-tray", "0-name": "Pears", "0-grams": "60", "0-allergens": "pollen"},
    )
    assert answer.status_code == 422
    assert "or none" in answer.text


def test_a_plan_with_them_contains_points_out_and_says_what_is_not_stated(settings: Settings, clock: Clock) -> None:
    kitchen = InKitchen(create_app(settings, now=clock).test_client())  # with the planner that people have
    key = friday(kitchen)
    kitchen.posts(
        "/settings/units",
        {"clock": "24", "mass_unit": "g", "heat_unit": "C", "zone": "Europe/London", "avoid-fish": "1"},
    )
    bake_id = kitchen.plans({"toppings_key": key, "date": "2026-11-27", "at": "19:30"})
    kitchen.picks(bake_id)
    shown = page_text(kitchen.get(f"/bakes/{bake_id}").text)
    assert "Contains: gluten (wheat). By its name, also: fish, milk, nuts. Not stated: Chilli oil." in shown
    assert "You asked to be told: fish." in shown
    assert "is in Chilli oil, nobody has stated" in shown
    assert "Not stated: Chilli oil." in page_text(kitchen.get(f"/bakes/{bake_id}/print").text)
