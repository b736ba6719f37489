"""The plan form, the offers, the bake: what comes back to the person, right or wrong."""

from __future__ import annotations

from tests.web.conftest import SAME, Clock, InKitchen
from tests.samples import at


def test_a_first_visit_asks_the_five_questions_and_gives_the_phone_a_key(kitchen: InKitchen) -> None:
    response = kitchen.get("/")
    for question in ("When do we eat?", "What do we bake in?", "Which dough?", "How warm is the kitchen?", "When am I"):
        assert question in response.text
    cookie = next(one for one in response.headers.getlist("Set-Cookie") if one.startswith("suppertide="))
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_five_answers_lead_to_offers_and_a_picked_bake(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    offers = kitchen.get(f"/bakes/{bake_id}")
    assert offers.status_code == 200
    assert offers.text.count(f'action="/bakes/{bake_id}/pick"') == 3
    assert kitchen.picks(bake_id, 1).headers["Location"] == f"/bakes/{bake_id}"
    bake = kitchen.get(f"/bakes/{bake_id}")
    assert "Tray pizza for Wednesday, second" in bake.text
    assert "Tray pizza for Wednesday, second" in kitchen.get("/").text


PAGES = ("/", "/settings", "/settings/people/0", "/settings/people/1", "/join", "/take-along", "/larder", "/larder/new",
         "/larder/bench-tray", "/larder/new?from=poolish-tray", "/book")  # fmt: skip


def test_every_page_shows(kitchen: InKitchen) -> None:
    for path in PAGES:
        response = kitchen.get(path)
        assert response.status_code == 200, path
        assert response.text.count("<h1>") == 1, path
