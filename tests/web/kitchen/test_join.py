"""Other phones: let in by a code, named, shut out."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from flask import Flask

from tests.databases import everything_in
from tests.web.conftest import Clock, InKitchen
from tests.web.seen import mistakes
from webapp.kitchens.access import JOIN_CODE_S
from webapp.machine.settings import Settings


def code_of(kitchen: InKitchen) -> str:
    page = kitchen.posts("/join/code", page="/join").text
    found = re.search(r'<p class="code">([^<]+)</p>', page)
    assert found
    assert page.count("<svg") >= 1
    return found[1]


def test_another_phone_joins_by_a_code_and_sees_the_same_bakes(phone: Callable[[], InKitchen]) -> None:
    first, second = phone(), phone()
    bake_id = first.has_a_bake()
    code = code_of(first)
    asked = second.get(f"/join?code={code}")
    assert "see and change everything" in asked.text
    typed = f" {code[:5]}-{code[5:].upper()} "
    joined = second.posts("/join", {"code": typed}, page=f"/join?code={code}")
    assert joined.status_code == 303
    assert second.get(f"/bakes/{bake_id}").status_code == 200
    assert first.get("/join").text.count('class="button button--bad"') == 2


def test_who_has_no_kitchen_yet_is_shown_no_empty_list_of_its_phones(phone: Callable[[], InKitchen]) -> None:
    assert "Phones in this kitchen" not in phone().get("/join").text
    asked = phone()
    asked.has_a_bake()
    assert "Phones in this kitchen" in asked.get("/join").text


def test_looking_at_a_code_uses_nothing_up_and_makes_no_kitchen(phone: Callable[[], InKitchen], app: Flask) -> None:
    first, second = phone(), phone()
    code = code_of(first)
    second.get(f"/join?code={code}")
    assert "Join</button>" in second.get(f"/join?code={code}").text
    with app.extensions["suppertide"].store.reading() as db:
        assert db.exec_driver_sql("SELECT count(*) FROM kitchens").fetchone()[0] == 1


@pytest.mark.parametrize("why", ["used", "old", "wrong", "replaced"])
def test_a_code_that_does_not_hold_lets_nobody_in(phone: Callable[[], InKitchen], clock: Clock, why: str) -> None:
    first, second, third = phone(), phone(), phone()
    bake_id = first.has_a_bake()
    code = code_of(first)
    if why == "used":
        third.get("/")
        third.posts("/join", {"code": code})
    elif why == "old":
        clock.now += JOIN_CODE_S
    elif why == "wrong":
        code = code[::-1]
    else:
        code_of(first)
    second.get("/")
    refused = second.posts("/join", {"code": code})
    assert refused.status_code == 422
    assert "used up, too old or mistyped" in refused.text
    assert second.get(f"/bakes/{bake_id}").status_code == 404


def test_a_phone_shut_out_sees_nothing_from_then_on(phone: Callable[[], InKitchen]) -> None:
    first, second = phone(), phone()
    bake_id = first.has_a_bake()
    second.get("/")
    second.posts("/join", {"code": code_of(first)})
    removals = re.findall(r'action="(/join/phones/[^"]+/remove)"', first.get("/join").text)
    assert len(removals) == 2
    assert first.posts(removals[1], page="/join").status_code == 303
    assert second.get(f"/api/bakes/{bake_id}/bundle").status_code == 401
    assert second.get(f"/bakes/{bake_id}").status_code == 404
    assert first.get(f"/bakes/{bake_id}").status_code == 200


def test_a_phone_that_joins_after_another_was_shut_out_has_a_name_of_its_own(phone: Callable[[], InKitchen]) -> None:
    first, *others = phone(), phone(), phone(), phone()
    first.get("/")
    for one in others[:2]:
        one.posts("/join", {"code": code_of(first)})
    removals = re.findall(r'action="(/join/phones/[^"]+/remove)"', first.get("/join").text)
    first.posts(removals[1], page="/join")
    others[2].posts("/join", {"code": code_of(first)})
    assert re.findall(r'name="name" type="text" value="([^"]+)"', first.get("/join").text) == [
        "Phone 1", "Phone 3", "Phone 2"]  # fmt: skip


def test_the_last_phone_cannot_shut_itself_out(kitchen: InKitchen) -> None:
    name = re.search(r'action="(/join/phones/[^"]+)/name"', kitchen.get("/join").text)
    assert name
    refused = kitchen.posts(f"{name[1]}/remove", page="/join")
    assert refused.status_code == 422
    assert "only phone" in refused.text


def test_a_phone_gets_a_name_and_no_empty_or_endless_one(kitchen: InKitchen) -> None:
    action = re.search(r'action="(/join/phones/[^"]+/name)"', kitchen.get("/join").text)
    assert action
    assert kitchen.posts(action[1], {"name": " By  the <oven> "}, page="/join").status_code == 303
    assert 'value="By the &lt;oven&gt;"' in kitchen.get("/join").text
    for name in ("", " ", "x" * 41):
        refused = kitchen.posts(action[1], {"name": name}, page="/join")
        assert refused.status_code == 422
        assert f'name="name" type="text" value="{name}"' in refused.text, "what was typed is there to be shortened"
        assert "1 to 40 letters" in mistakes(refused.text)
    gone = kitchen.posts("/join/phones/never-was/name", {"name": "x" * 41}, page="/join")
    assert gone.status_code == 404, "of a phone that left meanwhile no name can be wrong"


def test_keys_and_codes_are_in_the_database_as_hashes_only(kitchen: InKitchen, app: Flask, settings: Settings) -> None:
    code = code_of(kitchen)
    cookie = kitchen.client.get_cookie("suppertide")
    assert cookie is not None
    assert len(cookie.value) >= 43  # 256 bits in base64
    dump = everything_in(app.extensions["suppertide"].store)
    assert cookie.value not in dump
    assert code not in dump
