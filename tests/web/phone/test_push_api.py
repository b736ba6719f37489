"""Push messages over the API: our own pages only, JSON only, one error shape."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.reminders.push.push_service import Browser, b64, unb64
from tests.web.conftest import SAME, InKitchen

ENDPOINT = "https://updates.push.services.mozilla.com/wpush/v2/abc"


def subscription(endpoint: str = ENDPOINT) -> dict[str, object]:
    """As a browser's `subscription.toJSON()` has it (Push API, W3C)."""
    browser = Browser()
    keys = {"p256dh": browser.p256dh, "auth": b64(browser.auth)}
    return {"endpoint": endpoint, "expirationTime": None, "keys": keys}


def on(kitchen: InKitchen, endpoint: str = ENDPOINT) -> None:
    answer = kitchen.client.post("/api/push", json=subscription(endpoint), headers=SAME)
    assert answer.status_code == 200, answer.text


def test_a_browser_turns_messages_on_and_off_again(kitchen: InKitchen) -> None:
    kitchen.get("/")
    before = kitchen.get("/api/push").json
    assert before is not None
    assert (before["browsers"], before["here"]) == (0, False)
    assert len(unb64(before["key"])) == 65
    on(kitchen)
    after = kitchen.get("/api/push").json
    assert after is not None
    assert (after["browsers"], after["here"], after["key"]) == (1, True, before["key"])
    assert "On one browser" in kitchen.get("/reminders").text
    kitchen.client.post("/api/push/off", json={"endpoint": ENDPOINT}, headers=SAME)
    assert "On one browser" not in kitchen.get("/reminders").text


def test_a_test_ring_says_when(kitchen: InKitchen) -> None:
    kitchen.get("/")
    on(kitchen)
    answer = kitchen.client.post("/api/push/test", json={}, headers=SAME).json
    assert answer is not None
    assert answer["browsers"] == 1


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ([], "request"),
        ("text", "request"),
        ({}, "endpoint"),
        ({"endpoint": 5}, "endpoint"),
        (subscription("https://evil.example/x"), "endpoint"),
        ({"endpoint": ENDPOINT}, "keys"),
        ({"endpoint": ENDPOINT, "keys": [1]}, "keys"),
        ({"endpoint": ENDPOINT, "keys": {"p256dh": "AAAA", "auth": 7}}, "keys"),
    ],
)
def test_what_is_no_subscription_is_said_in_the_one_shape(kitchen: InKitchen, sent: object, field: str) -> None:
    kitchen.get("/")
    answer = kitchen.client.post("/api/push", json=sent, headers=SAME)
    assert answer.status_code == 422
    assert answer.json is not None
    assert answer.json["error"]["field"] == field
    assert answer.json["errors"][0] == answer.json["error"]


def test_only_our_own_pages_and_only_json(kitchen: InKitchen) -> None:
    kitchen.get("/")
    for path in ("/api/push", "/api/push/off", "/api/push/test"):
        assert kitchen.client.post(path, json={}, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
        assert kitchen.client.post(path, json={}).status_code == 403
        assert kitchen.client.post(path, data={"a": "b"}, headers=SAME).status_code == 415


def test_a_phone_without_a_kitchen_is_told_so(phone: Callable[[], InKitchen]) -> None:
    assert phone().get("/api/push").status_code == 401


def test_without_the_extra_there_is_nothing_and_the_page_says_how_to_get_it(
    kitchen: InKitchen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.reminders.push.message.available", lambda: False)
    kitchen.get("/")
    assert kitchen.get("/api/push").status_code == 404
    page = kitchen.get("/reminders").text
    assert "Not installed on this server" in page
    assert "suppertide[push]" in page
