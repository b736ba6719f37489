"""What if: new offers under the same bake, for scripts the offers alone, for browsers the page."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.web.conftest import NOW, SAME, InKitchen
from webapp.machine.settings import Settings
from webapp.web.app import create_app

PART = SAME | {"X-Part": "offers"}


@pytest.fixture
def really(settings: Settings) -> InKitchen:
    """A kitchen with the real planner."""
    app = create_app(settings, now=lambda: NOW)
    app.testing = True
    return InKitchen(app.test_client())


def moves(kitchen: InKitchen, bake_id: str, headers: dict[str, str] = PART, **levers: str) -> tuple[int, str]:
    token = kitchen.token(f"/bakes/{bake_id}?offers")
    answer = kitchen.client.post(f"/bakes/{bake_id}/what-if", data={"csrf_token": token} | levers, headers=headers)
    return answer.status_code, answer.text


def yeast(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"Yeast: ([\d.]+)\s%", text)]


def test_a_warmer_kitchen_asks_for_less_yeast(really: InKitchen) -> None:
    bake_id = really.plans()
    before = yeast(really.get(f"/bakes/{bake_id}").text)
    status, text = moves(really, bake_id, room="24")
    assert status == 200
    assert "<html" not in text
    assert min(yeast(text)) < min(before)


def test_what_was_tried_is_what_can_be_picked(really: InKitchen) -> None:
    bake_id = really.plans()
    moves(really, bake_id, supper="1230")
    really.picks(bake_id, 0)
    assert "Supper 20:30" in really.get(f"/bakes/{bake_id}").text


def test_a_day_without_room_says_why_and_keeps_the_offers(really: InKitchen) -> None:
    bake_id = really.plans()
    before = yeast(really.get(f"/bakes/{bake_id}").text)
    status, text = moves(really, bake_id, supper="420")  # 07:00, ten minutes from now
    assert status == 422
    assert "notice--careful" in text
    assert yeast(text) == before


def test_without_a_script_the_browser_comes_back_to_the_page(kitchen: InKitchen) -> None:
    bake_id = kitchen.plans()
    status, _ = moves(kitchen, bake_id, SAME, room="24")
    assert status == 303
    status, _ = moves(kitchen, bake_id, SAME, room="hot")
    assert status == 303
    assert "not a number" in kitchen.get(f"/bakes/{bake_id}?offers").text


def test_another_kitchens_bake_and_no_bake_are_the_same(phone: Callable[[], InKitchen], kitchen: InKitchen) -> None:
    bake_id, stranger = kitchen.plans(), phone()
    stranger.plans()
    for which in (bake_id, "no-such-bake"):
        token = stranger.token()
        answer = stranger.client.post(f"/bakes/{which}/what-if", data={"csrf_token": token, "room": "24"}, headers=PART)
        assert answer.status_code == 404
